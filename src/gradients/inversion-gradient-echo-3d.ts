/**
 * Inversion-prepared 3D gradient echo: an inversion with its spoiler, a wait, a train of quick
 * excitations centred on the inversion time (and another on the second inversion time, if there is
 * one), a rest; once for every phase-encoding line. A navigator may be played in the longest pause.
 *
 * Heard: a thud, a silence, a buzz at the excitation rate for a second or more, a silence.
 *
 * @module
 */
import { booleanField, numberField, type Scan, type Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { addInversion } from './excitation.js';
import { scanGeometry } from './geometry.js';
import {
  drawGradientEcho,
  drawPhaseEncoding,
  encodingShare,
  type GradientEcho,
} from './gradient-echo.js';
import { formatTime, fullLimits, UnplayableError } from './hardware.js';
import { imageLines } from './image-lines.js';
import { addNavigator, layOutNavigator, type Navigator, navigatorTone } from './navigator.js';
import { phaseEncoded } from './repetitions.js';
import { layOutSlabEcho } from './slab-echo.js';
import type { PlayedScan } from './timeline.js';

/** A repetition laid out; times in s from its start. */
interface Repetition {
  readonly echo: GradientEcho;
  readonly excitations: number;
  readonly innerS: number;
  readonly trainStartsS: readonly number[];
  readonly navigator: (Navigator & { readonly startS: number }) | undefined;
}

export function playInversionGradientEcho3d(scan: Scan, scanner: Scanner): PlayedScan {
  const repetitionS = numberField(scan, 'RepetitionTime');
  const navigator = booleanField(scan, 'Navigator')
    ? layOutNavigator(fullLimits(scanner))
    : undefined;
  const { images, lines } = imageLines(scan, repetitionS);
  const echo = layOutSlabEcho(scan, scanner, 'RepetitionTimeExcitation');
  const repetition = layOut(scan, echo, navigator);
  const segments = phaseEncoded(
    {
      count: lines,
      durationS: repetitionS,
      geometry: scanGeometry(scan),
      draw: (builder, startS) => {
        drawRepetition(builder, repetition, startS);
      },
    },
    (builder, startS, share) => {
      forExcitations(repetition, inRepetitionS => {
        drawPhaseEncoding(builder, repetition.echo, startS + inRepetitionS, share);
      });
    },
  );
  const { innerS, excitations, trainStartsS } = repetition;
  const excitationRate = { hertz: 1 / innerS, cause: `excitations, 1/${formatTime(innerS)}` };
  const buzz = `${trainStartsS.length === 1 ? '' : 'twice '}${formatTime(excitations * innerS)} of buzz`;
  const inversions = {
    hertz: 1 / repetitionS,
    cause: `inversions, 1/${formatTime(repetitionS)}: ${buzz}, then rest`,
  };
  return {
    timeline: { segments: Array.from({ length: images }, () => segments).flat() },
    tones: [excitationRate, ...(navigator === undefined ? [] : [navigatorTone(navigator)])],
    rhythm: [excitationRate, inversions],
  };
}

/** @throws {UnplayableError} Trains or navigator do not fit. */
function layOut(scan: Scan, echo: GradientEcho, navigator: Navigator | undefined): Repetition {
  const innerS = numberField(scan, 'RepetitionTimeExcitation');
  const excitations = numberField(scan, 'EchoTrainLength');
  const trainS = excitations * innerS;
  const inversion = addInversion(new BlockBuilder(), 0, echo.limits);
  const trainStartsS = inversionTimes(scan).map(
    inversionTimeS => inversion.pulseCentreS + inversionTimeS - trainS / 2,
  );
  requireTrainsFit(scan, inversion.endS, trainStartsS, trainS);
  const busyUntilS = [inversion.endS, ...trainStartsS.map(startS => startS + trainS)];
  const busyFromS = [...trainStartsS, numberField(scan, 'RepetitionTime')];
  return {
    echo,
    excitations,
    innerS,
    trainStartsS,
    navigator: navigator && {
      ...navigator,
      startS: inLongestPause(busyUntilS, busyFromS, navigator),
    },
  };
}

/** The inversion times: one, or two of a scan that reads after both (MP2RAGE). */
function inversionTimes(scan: Scan): readonly number[] {
  const second = scan.fields.InversionTime2?.value;
  const first = numberField(scan, 'InversionTime');
  return typeof second === 'number' ? [first, second] : [first];
}

/** Draws a repetition without its phase encoding. */
function drawRepetition(builder: BlockBuilder, repetition: Repetition, startS: number): void {
  const { echo, excitations, navigator } = repetition;
  addInversion(builder, startS, echo.limits);
  forExcitations(repetition, (inRepetitionS, i) => {
    const partition = encodingShare(i, excitations);
    drawGradientEcho(builder, echo, startS + inRepetitionS, { phase: 0, partition });
  });
  if (navigator !== undefined) addNavigator(builder, navigator, startS + navigator.startS);
}

/** Every excitation of every train: when it starts, and its number in the train from 0. */
function forExcitations(
  { trainStartsS, excitations, innerS }: Repetition,
  draw: (inRepetitionS: number, i: number) => void,
): void {
  for (const trainStartS of trainStartsS) {
    for (let i = 0; i < excitations; i++) draw(trainStartS + i * innerS, i);
  }
}

/** When a navigator starts that lies in the middle of the longest pause. */
function inLongestPause(
  fromS: readonly number[],
  toS: readonly number[],
  { durationS }: Navigator,
): number {
  const pauses = fromS.map((startS, i) => ({ startS, lengthS: toS[i]! - startS }));
  const longest = pauses.reduce((best, pause) => (pause.lengthS > best.lengthS ? pause : best));
  if (longest.lengthS < durationS) {
    throw new UnplayableError(
      'Navigator',
      `no pause is longer than ${formatTime(longest.lengthS)}`,
      `a pause of at least ${formatTime(durationS)} for the navigator`,
      'Check RepetitionTime, InversionTime, EchoTrainLength and RepetitionTimeExcitation, or leave Navigator out.',
    );
  }
  return longest.startS + (longest.lengthS - durationS) / 2;
}

function requireTrainsFit(
  scan: Scan,
  inversionEndS: number,
  trainStartsS: readonly number[],
  trainS: number,
): void {
  const repetitionS = numberField(scan, 'RepetitionTime');
  const [first, second] = inversionTimes(scan);
  const numbers =
    `a train of ${numberField(scan, 'EchoTrainLength')} excitations ` +
    `${formatTime(numberField(scan, 'RepetitionTimeExcitation'))} apart lasts ${formatTime(trainS)}`;
  const fix = 'EchoTrainLength (excitations of one train) and RepetitionTimeExcitation.';
  if (trainStartsS[0]! < inversionEndS) {
    throw new UnplayableError(
      'InversionTime',
      `${numbers}; centred on an inversion time of ${formatTime(first!)} it would start before the inversion ends`,
      `an InversionTime of at least ${formatTime(trainS / 2 + inversionEndS)}, or a shorter train`,
      `Check InversionTime, ${fix}`,
    );
  }
  if (second !== undefined && second - first! < trainS) {
    throw new UnplayableError(
      'InversionTime2',
      `${numbers}; centred on ${formatTime(second)} it would start before the one around ${formatTime(first!)} ends`,
      `an InversionTime2 of at least ${formatTime(first! + trainS)}, or a shorter train`,
      `Check InversionTime, InversionTime2, ${fix}`,
    );
  }
  const endS = trainStartsS.at(-1)! + trainS;
  if (endS > repetitionS) {
    throw new UnplayableError(
      'RepetitionTime',
      `${numbers}; centred on an inversion time of ${formatTime(second ?? first!)} it would end after the repetition time of ${formatTime(repetitionS)}`,
      `a RepetitionTime of at least ${formatTime(endS)}, or a shorter train`,
      `Check RepetitionTime, ${fix}`,
    );
  }
}
