/**
 * Inversion-prepared 3D gradient echo: an inversion with its spoiler, a wait, a train of quick
 * excitations centred on the inversion time, a rest; once for every phase-encoding line.
 *
 * Heard: a thud, a silence, a buzz at the excitation rate for a second or more, a silence.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { addInversion } from './excitation.js';
import { scanGeometry } from './geometry.js';
import {
  drawGradientEcho,
  drawPhaseEncoding,
  encodingShare,
  layOutGradientEcho,
} from './gradient-echo.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import type { PlayedScan, Segment } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Slab-selective excitation pulse: length in s and time-bandwidth product. Common practice, no source. */
const PULSE = { durationS: 0.001, timeBandwidth: 4 };

export function playInversionGradientEcho3d(scan: Scan, scanner: Scanner): PlayedScan {
  return playGentlyIfPossible(scanner, limits => play(scan, limits));
}

function play(scan: Scan, limits: GradientLimits): PlayedScan {
  const repetitionS = numberField(scan, 'RepetitionTime');
  const innerS = numberField(scan, 'RepetitionTimeExcitation');
  const excitations = numberField(scan, 'EchoTrainLength');
  const [readVoxelMm, phaseVoxelMm, partitionVoxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const echo = layOutGradientEcho(
    {
      pulse: {
        ...PULSE,
        thicknessMm: numberField(scan, 'NumberOfSlices') * partitionVoxelMm!,
      },
      echoTimesS: [numberField(scan, 'EchoTime')],
      repetitionS: innerS,
      pixelBandwidthHz: numberField(scan, 'PixelBandwidth'),
      readVoxelMm: readVoxelMm!,
      phaseVoxelMm: phaseVoxelMm!,
      partitionVoxelMm: partitionVoxelMm!,
      repetitionField: 'RepetitionTimeExcitation',
      echoField: 'EchoTime',
    },
    limits,
  );

  const whole = new BlockBuilder();
  const line = new BlockBuilder();
  const inversion = addInversion(whole, 0, limits);
  const trainS = excitations * innerS;
  const trainStartS = inversion.pulseCentreS + numberField(scan, 'InversionTime') - trainS / 2;
  requireTrainFits(scan, inversion.endS, trainStartS, trainS);
  for (let i = 0; i < excitations; i++) {
    const startS = trainStartS + i * innerS;
    drawGradientEcho(whole, echo, startS, { phase: 0, partition: encodingShare(i, excitations) });
    drawPhaseEncoding(line, echo, startS, 1);
  }

  const geometry = scanGeometry(scan);
  const wholeBlock = whole.build(geometry);
  const lineBlock = line.build(geometry);
  const lines = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionS));
  const segments = Array.from({ length: lines }, (_, i): Segment => {
    const layers = [
      { block: wholeBlock, gain: 1 },
      { block: lineBlock, gain: encodingShare(i, lines) },
    ];
    return { durationS: repetitionS, repeats: 1, layers };
  });
  return {
    timeline: { segments },
    tones: [{ hertz: 1 / innerS, cause: `excitations, 1/${formatTime(innerS)}` }],
    rhythm: [
      { hertz: 1 / innerS, cause: `excitations, 1/${formatTime(innerS)}` },
      {
        hertz: 1 / repetitionS,
        cause: `inversions, 1/${formatTime(repetitionS)}: ${formatTime(trainS)} of buzz, then rest`,
      },
    ],
  };
}

function requireTrainFits(
  scan: Scan,
  inversionEndS: number,
  trainStartS: number,
  trainS: number,
): void {
  const repetitionS = numberField(scan, 'RepetitionTime');
  const inversionS = numberField(scan, 'InversionTime');
  const numbers =
    `a train of ${numberField(scan, 'EchoTrainLength')} excitations ` +
    `${formatTime(numberField(scan, 'RepetitionTimeExcitation'))} apart lasts ${formatTime(trainS)}`;
  if (trainStartS < inversionEndS) {
    throw new UnplayableError(
      'InversionTime',
      `${numbers}; centred on an inversion time of ${formatTime(inversionS)} it would start before the inversion ends`,
      `an InversionTime of at least ${formatTime(trainS / 2 + inversionEndS)}, or a shorter train`,
      'Check InversionTime, EchoTrainLength (excitations after one inversion) and RepetitionTimeExcitation.',
    );
  }
  if (trainStartS + trainS > repetitionS) {
    throw new UnplayableError(
      'RepetitionTime',
      `${numbers}; centred on an inversion time of ${formatTime(inversionS)} it would end after the repetition time of ${formatTime(repetitionS)}`,
      `a RepetitionTime of at least ${formatTime(trainStartS + trainS)}, or a shorter train`,
      'Check RepetitionTime, EchoTrainLength (excitations after one inversion) and RepetitionTimeExcitation.',
    );
  }
}
