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
import { halfSelectionS, rephasingLobe, selectionLobe } from './excitation.js';
import { type LogicalAxis, scanGeometry } from './geometry.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { type Lobe, lobeDurationS, shortestLobe } from './lobes.js';
import type { PlayedScan } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Excitation and refocusing pulses in s (an open sequence library's values) and time-bandwidth product. */
const EXCITATION = { durationS: 0.003, timeBandwidth: 5 };
const REFOCUSING = { durationS: 0.006, timeBandwidth: 5 };

/** Shorter pulses for echo times that the usual ones do not fit into. Common practice, no source. */
const QUICK = {
  excitation: { durationS: 0.0022, timeBandwidth: 4 },
  refocusing: { durationS: 0.0035, timeBandwidth: 4 },
};

/** Area of a crusher beside a refocusing pulse, on all axes, in mT/m s. Common practice, no source. */
const CRUSHER_AREA = 0.02;

/** Water suppression: pulses (their length as above), each with a spoiler of an area in mT/m s. Common practice, no source. */
const WATER = { axes: ['read', 'phase', 'slice'] as const, pulseS: 0.015, spoilerArea: 0.04 };

/** Wait between the last spoiler and the excitation, in s. Common practice, no source. */
const SETTLING_S = 0.005;

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
  const repetitionS = numberField(scan, 'RepetitionTime');
  const builder = new BlockBuilder();
  const waterS = booleanField(scan, 'WaterSuppression') ? addWaterSuppression(builder, limits) : 0;
  const endS = addLocalisation(builder, scan, pulses, waterS, limits);
  if (endS > repetitionS) {
    throw new UnplayableError(
      'RepetitionTime',
      `water suppression, pulses and echo take ${formatTime(endS)}, longer than the repetition time of ${formatTime(repetitionS)}`,
      `at least ${formatTime(endS)}`,
      'Check RepetitionTime and EchoTime.',
    );
  }
  const layers = [{ block: builder.build(scanGeometry(scan)), gain: 1 }];
  const repeats = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionS));
  return {
    timeline: { segments: [{ durationS: repetitionS, repeats, layers }] },
    tones: [],
    rhythm: [{ hertz: 1 / repetitionS, cause: `groups of knocks, 1/${formatTime(repetitionS)}` }],
  };
}

/** Pulses that are silent, and their spoilers, one on each axis. Returns when the excitation may start. */
function addWaterSuppression(builder: BlockBuilder, limits: GradientLimits): number {
  const spoiler = shortestLobe(WATER.spoilerArea, limits);
  let timeS = 0;
  for (const axis of WATER.axes) timeS = builder.add(axis, spoiler, timeS + WATER.pulseS);
  return timeS + SETTLING_S;
}

/**
 * The three pulses that cut a voxel out, each selecting on its own axis: the refocusing pulses at a
 * quarter and at three quarters of the echo time. Returns the time of the echo.
 */
function addLocalisation(
  builder: BlockBuilder,
  scan: Scan,
  { excitation, refocusing }: typeof QUICK,
  startS: number,
  limits: GradientLimits,
): number {
  const echoTimeS = numberField(scan, 'EchoTime');
  const [first, second, third] = numbersField(scan, 'AcquisitionVoxelSize');
  const crusher = shortestLobe(CRUSHER_AREA, limits);
  const cut = { ...excitation, thicknessMm: first! };
  const rephaser = rephasingLobe(cut, limits);
  const halfS = halfSelectionS(cut, limits);
  const turns = (
    [
      ['phase', second!],
      ['slice', third!],
    ] as const
  ).map(([axis, thicknessMm]) => ({
    axis,
    lobe: selectionLobe({ ...refocusing, thicknessMm }, limits),
  }));
  const halfTurnsS = turns.map(({ lobe }) => lobeDurationS(lobe) / 2 + lobeDurationS(crusher));

  const shortestS = Math.max(
    4 * (halfS + lobeDurationS(rephaser) + halfTurnsS[0]!),
    2 * (halfTurnsS[0]! + halfTurnsS[1]!),
    4 * halfTurnsS[1]!,
  );
  if (echoTimeS < shortestS) {
    throw new UnplayableError(
      'EchoTime',
      `an echo time of ${formatTime(echoTimeS)} has no room for three selective pulses with crushers`,
      `at least ${formatTime(shortestS)}`,
      'Check EchoTime and AcquisitionVoxelSize.',
    );
  }
  const centreS = startS + halfS;
  builder.add('read', selectionLobe(cut, limits), startS);
  builder.add('read', rephaser, centreS + halfS);
  turns.forEach(({ axis, lobe }, i) => {
    addTurn(builder, axis, lobe, crusher, centreS + ((2 * i + 1) / 4) * echoTimeS);
  });
  return centreS + echoTimeS;
}

/** A refocusing pulse that selects on one axis, between crushers on all three. */
function addTurn(
  builder: BlockBuilder,
  axis: LogicalAxis,
  lobe: Lobe,
  crusher: Lobe,
  centreS: number,
): void {
  const halfS = lobeDurationS(lobe) / 2;
  builder.addCentred(axis, lobe, centreS);
  for (const crushed of WATER.axes) {
    builder.add(crushed, crusher, centreS - halfS - lobeDurationS(crusher));
    builder.add(crushed, crusher, centreS + halfS);
  }
}
