/**
 * Single-voxel spectroscopy: water suppression, then three selective pulses on three axes, the last
 * two refocusing between crushers, then a readout without gradients (PRESS; other single-voxel
 * sequences play the like).
 *
 * Heard: one short group of knocks every repetition, and silence.
 *
 * @module
 */
import {
  booleanField,
  numberField,
  numbersField,
  type Scan,
  type Scanner,
} from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { halfSelectionSeconds, rephasingLobe, selectionLobe } from './excitation.js';
import { type LogicalAxis, scanGeometry } from './geometry.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { type Lobe, lobeDurationSeconds, shortestLobe } from './lobes.js';
import type { PlayedScan } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Excitation and refocusing pulses in s (an open sequence library's values) and time-bandwidth product. */
const EXCITATION = { durationSeconds: 0.003, timeBandwidth: 5 };
const REFOCUSING = { durationSeconds: 0.006, timeBandwidth: 5 };

/** Shorter pulses for echo times that the usual ones do not fit into. Common practice, no source. */
const QUICK = {
  excitation: { durationSeconds: 0.0022, timeBandwidth: 4 },
  refocusing: { durationSeconds: 0.0035, timeBandwidth: 4 },
};

/** Area of a crusher beside a refocusing pulse, on all axes, in mT/m s. Common practice, no source. */
const CRUSHER_AREA = 0.02;

/** Water suppression: pulses (their length as above), each with a spoiler of an area in mT/m s. Common practice, no source. */
const WATER = { axes: ['read', 'phase', 'slice'] as const, pulseSeconds: 0.015, spoilerArea: 0.04 };

/** Wait between the last spoiler and the excitation, in s. Common practice, no source. */
const SETTLING_SECONDS = 0.005;

export function playSpectroscopy(scan: Scan, scanner: Scanner): PlayedScan {
  const usual = { excitation: EXCITATION, refocusing: REFOCUSING };
  return playGentlyIfPossible(scanner, limits => {
    try {
      return play(scan, usual, limits);
    } catch (error) {
      if (!(error instanceof UnplayableError)) throw error;
      return play(scan, QUICK, limits);
    }
  });
}

function play(scan: Scan, pulses: typeof QUICK, limits: GradientLimits): PlayedScan {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const builder = new BlockBuilder();
  const waterSeconds = booleanField(scan, 'WaterSuppression')
    ? addWaterSuppression(builder, limits)
    : 0;
  const endSeconds = addLocalisation(builder, scan, pulses, waterSeconds, limits);
  if (endSeconds > repetitionSeconds) {
    throw new UnplayableError(
      'RepetitionTime',
      `water suppression, pulses and echo take ${formatTime(endSeconds)}, longer than the repetition time of ${formatTime(repetitionSeconds)}`,
      `at least ${formatTime(endSeconds)}`,
      'Check RepetitionTime and EchoTime.',
    );
  }
  const layers = [{ block: builder.build(scanGeometry(scan)), gain: 1 }];
  const repeats = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionSeconds));
  return {
    timeline: { segments: [{ durationSeconds: repetitionSeconds, repeats, layers }] },
    tones: [],
    rhythm: [
      {
        hertz: 1 / repetitionSeconds,
        cause: `groups of knocks, 1/${formatTime(repetitionSeconds)}`,
      },
    ],
  };
}

/** Pulses that are silent, and their spoilers, one on each axis. Returns when the excitation may start. */
function addWaterSuppression(builder: BlockBuilder, limits: GradientLimits): number {
  const spoiler = shortestLobe(WATER.spoilerArea, limits);
  let timeSeconds = 0;
  for (const axis of WATER.axes)
    timeSeconds = builder.add(axis, spoiler, timeSeconds + WATER.pulseSeconds);
  return timeSeconds + SETTLING_SECONDS;
}

/**
 * The three pulses that cut a voxel out, each selecting on its own axis: the refocusing pulses at a
 * quarter and at three quarters of the echo time. Returns the time of the echo.
 */
function addLocalisation(
  builder: BlockBuilder,
  scan: Scan,
  { excitation, refocusing }: typeof QUICK,
  startSeconds: number,
  limits: GradientLimits,
): number {
  const echoTimeSeconds = numberField(scan, 'EchoTime');
  const [first, second, third] = numbersField(scan, 'AcquisitionVoxelSize');
  const crusher = shortestLobe(CRUSHER_AREA, limits);
  const cut = { ...excitation, thicknessMm: first! };
  const rephaser = rephasingLobe(cut, limits);
  const halfSeconds = halfSelectionSeconds(cut, limits);
  const turns = (
    [
      ['phase', second!],
      ['slice', third!],
    ] as const
  ).map(([axis, thicknessMm]) => ({
    axis,
    lobe: selectionLobe({ ...refocusing, thicknessMm }, limits),
  }));
  const halfTurnsSeconds = turns.map(
    ({ lobe }) => lobeDurationSeconds(lobe) / 2 + lobeDurationSeconds(crusher),
  );

  const shortestSeconds = Math.max(
    4 * (halfSeconds + lobeDurationSeconds(rephaser) + halfTurnsSeconds[0]!),
    2 * (halfTurnsSeconds[0]! + halfTurnsSeconds[1]!),
    4 * halfTurnsSeconds[1]!,
  );
  if (echoTimeSeconds < shortestSeconds) {
    throw new UnplayableError(
      'EchoTime',
      `an echo time of ${formatTime(echoTimeSeconds)} has no room for three selective pulses with crushers`,
      `at least ${formatTime(shortestSeconds)}`,
      'Check EchoTime and AcquisitionVoxelSize.',
    );
  }
  const centreSeconds = startSeconds + halfSeconds;
  builder.add('read', selectionLobe(cut, limits), startSeconds);
  builder.add('read', rephaser, centreSeconds + halfSeconds);
  turns.forEach(({ axis, lobe }, i) => {
    addTurn(builder, axis, lobe, crusher, centreSeconds + ((2 * i + 1) / 4) * echoTimeSeconds);
  });
  return centreSeconds + echoTimeSeconds;
}

/** A refocusing pulse that selects on one axis, between crushers on all three. */
function addTurn(
  builder: BlockBuilder,
  axis: LogicalAxis,
  lobe: Lobe,
  crusher: Lobe,
  centreSeconds: number,
): void {
  const halfSeconds = lobeDurationSeconds(lobe) / 2;
  builder.addCentred(axis, lobe, centreSeconds);
  for (const crushed of WATER.axes) {
    builder.add(crushed, crusher, centreSeconds - halfSeconds - lobeDurationSeconds(crusher));
    builder.add(crushed, crusher, centreSeconds + halfSeconds);
  }
}
