/**
 * A 3D readout of gradient and spin echoes: after one excitation a train of refocusing pulses, and
 * around each spin echo a short echo-planar train. With one gradient echo it is a 3D turbo spin echo.
 *
 * Heard: a quick series of short beeps at the rate of the refocusing pulses.
 *
 * @module
 */
import { numberField, numbersField, type Scan } from '../protocol/scan.js';
import type { BlockBuilder } from './block-builder.js';
import {
  addTrain,
  addTrainPrephasing,
  type EchoPlanarTrain,
  echoPlanarTrain,
  trainDurationSeconds,
  trainPrephasingSeconds,
} from './echo-planar-train.js';
import {
  addRefocusing,
  addSelection,
  crusherDurationSeconds,
  halfSelectionSeconds,
  rephasingLobe,
  type SelectivePulse,
} from './excitation.js';
import { encodingShare } from './gradient-echo.js';
import type { GradientLimits } from './hardware.js';
import { type Lobe, lobeDurationSeconds, shortestLobe } from './lobes.js';
import { encodingArea } from './physics.js';

/** Slab-selective pulses: length in s and time-bandwidth product. Common practice, no source. */
const EXCITATION = { durationSeconds: 0.0025, timeBandwidth: 4 };
const REFOCUSING = { durationSeconds: 0.0025, timeBandwidth: 4 };

/** Refocusing selects a thicker slab. Common practice, no source. */
const REFOCUSING_THICKNESS = 1.2;

/** A readout laid out. */
export interface GradientSpinEcho {
  readonly train: EchoPlanarTrain;
  readonly excitation: SelectivePulse;
  readonly refocusing: SelectivePulse;
  readonly partitionLobe: Lobe;
  /** Refocusing pulses, and the time from one to the next in s. */
  readonly refocusings: number;
  readonly spacingSeconds: number;
  readonly excitationCentreSeconds: number;
  readonly durationSeconds: number;
  readonly limits: GradientLimits;
}

/** Lays a readout out, its refocusing pulses as near to each other as the trains between them allow. */
export function layOutGradientSpinEcho(scan: Scan, limits: GradientLimits): GradientSpinEcho {
  const [readVoxelMm, phaseVoxelMm, partitionVoxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const echoes = numberField(scan, 'EchoTrainLength');
  const slabMm = numberField(scan, 'NumberOfSlices') * partitionVoxelMm!;
  const excitation = { ...EXCITATION, thicknessMm: slabMm };
  const refocusing = { ...REFOCUSING, thicknessMm: slabMm * REFOCUSING_THICKNESS };
  const train = echoPlanarTrain(
    {
      echoSpacingSeconds: numberField(scan, 'EchoSpacing'),
      echoes,
      // The lines of a segment spread over the whole image.
      lines: echoes,
      acceleration: 1,
      readVoxelMm: readVoxelMm!,
      phaseVoxelMm: phaseVoxelMm!,
    },
    limits,
  );
  const partitionLobe = shortestLobe(encodingArea(partitionVoxelMm!) / 2, limits);
  const encodingSeconds = Math.max(
    trainPrephasingSeconds(train),
    lobeDurationSeconds(partitionLobe),
  );
  const halfRefocusingSeconds =
    halfSelectionSeconds(refocusing, limits) + crusherDurationSeconds(limits);
  const excitationCentreSeconds = halfSelectionSeconds(excitation, limits);
  const rephasingSeconds = lobeDurationSeconds(rephasingLobe(excitation, limits));
  const spacingSeconds = Math.max(
    2 * (halfRefocusingSeconds + encodingSeconds) + trainDurationSeconds(train),
    2 * (excitationCentreSeconds + rephasingSeconds + halfRefocusingSeconds),
  );
  const refocusings = numberField(scan, 'RFEchoTrainLength');
  return {
    train,
    excitation,
    refocusing,
    partitionLobe,
    refocusings,
    spacingSeconds,
    excitationCentreSeconds,
    durationSeconds: excitationCentreSeconds + (refocusings + 0.5) * spacingSeconds,
    limits,
  };
}

/** Draws a readout whose excitation's gradient starts at a time. Returns its end in s. */
export function drawGradientSpinEcho(
  builder: BlockBuilder,
  readout: GradientSpinEcho,
  startSeconds: number,
): number {
  const { train, excitation, refocusing, partitionLobe, refocusings, spacingSeconds, limits } =
    readout;
  const centreSeconds = startSeconds + readout.excitationCentreSeconds;
  const selectedSeconds = addSelection(builder, excitation, centreSeconds, limits);
  builder.add('slice', rephasingLobe(excitation, limits), selectedSeconds);
  const halfTrainSeconds = trainDurationSeconds(train) / 2;
  // An even train ends on the side where it started, an odd one on the other.
  const readBack = train.echoes % 2 === 0 ? -1 : 1;
  const phaseBack = train.centreEcho === 0 ? 0 : (train.echoes - 1) / train.centreEcho - 1;
  for (let i = 0; i < refocusings; i++) {
    addRefocusing(builder, refocusing, centreSeconds + (i + 0.5) * spacingSeconds, limits);
    const echoSeconds = centreSeconds + (i + 1) * spacingSeconds;
    const share = encodingShare(i, refocusings);
    addTrainPrephasing(
      builder,
      train,
      echoSeconds - halfTrainSeconds - trainPrephasingSeconds(train),
    );
    builder.add(
      'slice',
      partitionLobe,
      echoSeconds - halfTrainSeconds - lobeDurationSeconds(partitionLobe),
      share,
    );
    const rewindingSeconds = addTrain(builder, train, echoSeconds - halfTrainSeconds);
    builder.add('read', train.readPrephaser, rewindingSeconds, readBack);
    builder.add('phase', train.phasePrephaser, rewindingSeconds, phaseBack);
    builder.add('slice', partitionLobe, rewindingSeconds, -share);
  }
  return startSeconds + readout.durationSeconds;
}
