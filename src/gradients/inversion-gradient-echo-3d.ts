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
  readonly innerSeconds: number;
  readonly trainStartsSeconds: readonly number[];
  readonly navigator: (Navigator & { readonly startSeconds: number }) | undefined;
}

export function playInversionGradientEcho3d(scan: Scan, scanner: Scanner): PlayedScan {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const navigator = booleanField(scan, 'Navigator')
    ? layOutNavigator(fullLimits(scanner))
    : undefined;
  const { images, lines } = imageLines(scan, repetitionSeconds);
  const echo = layOutSlabEcho(scan, scanner, 'RepetitionTimeExcitation');
  const repetition = layOut(scan, echo, navigator);
  const segments = phaseEncoded(
    {
      count: lines,
      durationSeconds: repetitionSeconds,
      geometry: scanGeometry(scan),
      draw: (builder, startSeconds) => {
        drawRepetition(builder, repetition, startSeconds);
      },
    },
    (builder, startSeconds, share) => {
      forExcitations(repetition, inRepetitionSeconds => {
        drawPhaseEncoding(builder, repetition.echo, startSeconds + inRepetitionSeconds, share);
      });
    },
  );
  const { innerSeconds, excitations, trainStartsSeconds } = repetition;
  const excitationRate = {
    hertz: 1 / innerSeconds,
    cause: `excitations, 1/${formatTime(innerSeconds)}`,
  };
  const buzz = `${trainStartsSeconds.length === 1 ? '' : 'twice '}${formatTime(excitations * innerSeconds)} of buzz`;
  const inversions = {
    hertz: 1 / repetitionSeconds,
    cause: `inversions, 1/${formatTime(repetitionSeconds)}: ${buzz}, then rest`,
  };
  return {
    timeline: { segments: Array.from({ length: images }, () => segments).flat() },
    tones: [excitationRate, ...(navigator === undefined ? [] : [navigatorTone(navigator)])],
    rhythm: [excitationRate, inversions],
  };
}

/** @throws {UnplayableError} Trains or navigator do not fit. */
function layOut(scan: Scan, echo: GradientEcho, navigator: Navigator | undefined): Repetition {
  const innerSeconds = numberField(scan, 'RepetitionTimeExcitation');
  const excitations = numberField(scan, 'EchoTrainLength');
  const trainSeconds = excitations * innerSeconds;
  const inversion = addInversion(new BlockBuilder(), 0, echo.limits);
  const trainStartsSeconds = inversionTimes(scan).map(
    inversionTimeSeconds => inversion.pulseCentreSeconds + inversionTimeSeconds - trainSeconds / 2,
  );
  requireTrainsFit(scan, inversion.endSeconds, trainStartsSeconds, trainSeconds);
  const busyUntilSeconds = [
    inversion.endSeconds,
    ...trainStartsSeconds.map(startSeconds => startSeconds + trainSeconds),
  ];
  const busyFromSeconds = [...trainStartsSeconds, numberField(scan, 'RepetitionTime')];
  return {
    echo,
    excitations,
    innerSeconds,
    trainStartsSeconds,
    navigator: navigator && {
      ...navigator,
      startSeconds: inLongestPause(busyUntilSeconds, busyFromSeconds, navigator),
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
function drawRepetition(builder: BlockBuilder, repetition: Repetition, startSeconds: number): void {
  const { echo, excitations, navigator } = repetition;
  addInversion(builder, startSeconds, echo.limits);
  forExcitations(repetition, (inRepetitionSeconds, i) => {
    const partition = encodingShare(i, excitations);
    drawGradientEcho(builder, echo, startSeconds + inRepetitionSeconds, { phase: 0, partition });
  });
  if (navigator !== undefined)
    addNavigator(builder, navigator, startSeconds + navigator.startSeconds);
}

/** Every excitation of every train: when it starts, and its number in the train from 0. */
function forExcitations(
  { trainStartsSeconds, excitations, innerSeconds }: Repetition,
  draw: (inRepetitionSeconds: number, i: number) => void,
): void {
  for (const trainStartSeconds of trainStartsSeconds) {
    for (let i = 0; i < excitations; i++) draw(trainStartSeconds + i * innerSeconds, i);
  }
}

/** When a navigator starts that lies in the middle of the longest pause. */
function inLongestPause(
  fromSeconds: readonly number[],
  toSeconds: readonly number[],
  { durationSeconds }: Navigator,
): number {
  const pauses = fromSeconds.map((startSeconds, i) => ({
    startSeconds,
    lengthSeconds: toSeconds[i]! - startSeconds,
  }));
  const longest = pauses.reduce((best, pause) =>
    pause.lengthSeconds > best.lengthSeconds ? pause : best,
  );
  if (longest.lengthSeconds < durationSeconds) {
    throw new UnplayableError(
      'Navigator',
      `no pause is longer than ${formatTime(longest.lengthSeconds)}`,
      `a pause of at least ${formatTime(durationSeconds)} for the navigator`,
      'Check RepetitionTime, InversionTime, EchoTrainLength and RepetitionTimeExcitation, or leave Navigator out.',
    );
  }
  return longest.startSeconds + (longest.lengthSeconds - durationSeconds) / 2;
}

function requireTrainsFit(
  scan: Scan,
  inversionEndSeconds: number,
  trainStartsSeconds: readonly number[],
  trainSeconds: number,
): void {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const [first, second] = inversionTimes(scan);
  const numbers =
    `a train of ${numberField(scan, 'EchoTrainLength')} excitations ` +
    `${formatTime(numberField(scan, 'RepetitionTimeExcitation'))} apart lasts ${formatTime(trainSeconds)}`;
  const fix = 'EchoTrainLength (excitations of one train) and RepetitionTimeExcitation.';
  if (trainStartsSeconds[0]! < inversionEndSeconds) {
    throw new UnplayableError(
      'InversionTime',
      `${numbers}; centred on an inversion time of ${formatTime(first!)} it would start before the inversion ends`,
      `an InversionTime of at least ${formatTime(trainSeconds / 2 + inversionEndSeconds)}, or a shorter train`,
      `Check InversionTime, ${fix}`,
    );
  }
  if (second !== undefined && second - first! < trainSeconds) {
    throw new UnplayableError(
      'InversionTime2',
      `${numbers}; centred on ${formatTime(second)} it would start before the one around ${formatTime(first!)} ends`,
      `an InversionTime2 of at least ${formatTime(first! + trainSeconds)}, or a shorter train`,
      `Check InversionTime, InversionTime2, ${fix}`,
    );
  }
  const endSeconds = trainStartsSeconds.at(-1)! + trainSeconds;
  if (endSeconds > repetitionSeconds) {
    throw new UnplayableError(
      'RepetitionTime',
      `${numbers}; centred on an inversion time of ${formatTime(second ?? first!)} it would end after the repetition time of ${formatTime(repetitionSeconds)}`,
      `a RepetitionTime of at least ${formatTime(endSeconds)}, or a shorter train`,
      `Check RepetitionTime, ${fix}`,
    );
  }
}
