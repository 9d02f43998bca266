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
  trainDurationS,
  trainPrephasingS,
} from './echo-planar-train.js';
import {
  addRefocusing,
  addSelection,
  crusherDurationS,
  halfSelectionS,
  rephasingLobe,
  type SelectivePulse,
} from './excitation.js';
import { encodingShare } from './gradient-echo.js';
import type { GradientLimits } from './hardware.js';
import { type Lobe, lobeDurationS, shortestLobe } from './lobes.js';
import { encodingArea } from './physics.js';

/** Slab-selective pulses: length in s and time-bandwidth product. Common practice, no source. */
const EXCITATION = { durationS: 0.0025, timeBandwidth: 4 };
const REFOCUSING = { durationS: 0.0025, timeBandwidth: 4 };

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
  readonly spacingS: number;
  readonly excitationCentreS: number;
  readonly durationS: number;
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
      echoSpacingS: numberField(scan, 'EchoSpacing'),
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
  const encodingS = Math.max(trainPrephasingS(train), lobeDurationS(partitionLobe));
  const halfRefocusingS = halfSelectionS(refocusing, limits) + crusherDurationS(limits);
  const excitationCentreS = halfSelectionS(excitation, limits);
  const rephasingS = lobeDurationS(rephasingLobe(excitation, limits));
  const spacingS = Math.max(
    2 * (halfRefocusingS + encodingS) + trainDurationS(train),
    2 * (excitationCentreS + rephasingS + halfRefocusingS),
  );
  const refocusings = numberField(scan, 'RFEchoTrainLength');
  return {
    train,
    excitation,
    refocusing,
    partitionLobe,
    refocusings,
    spacingS,
    excitationCentreS,
    durationS: excitationCentreS + (refocusings + 0.5) * spacingS,
    limits,
  };
}

/** Draws a readout whose excitation's gradient starts at a time. Returns its end in s. */
export function drawGradientSpinEcho(
  builder: BlockBuilder,
  readout: GradientSpinEcho,
  startS: number,
): number {
  const { train, excitation, refocusing, partitionLobe, refocusings, spacingS, limits } = readout;
  const centreS = startS + readout.excitationCentreS;
  const selectedS = addSelection(builder, excitation, centreS, limits);
  builder.add('slice', rephasingLobe(excitation, limits), selectedS);
  const halfTrainS = trainDurationS(train) / 2;
  // An even train ends on the side where it started, an odd one on the other.
  const readBack = train.echoes % 2 === 0 ? -1 : 1;
  const phaseBack = train.centreEcho === 0 ? 0 : (train.echoes - 1) / train.centreEcho - 1;
  for (let i = 0; i < refocusings; i++) {
    addRefocusing(builder, refocusing, centreS + (i + 0.5) * spacingS, limits);
    const echoS = centreS + (i + 1) * spacingS;
    const share = encodingShare(i, refocusings);
    addTrainPrephasing(builder, train, echoS - halfTrainS - trainPrephasingS(train));
    builder.add('slice', partitionLobe, echoS - halfTrainS - lobeDurationS(partitionLobe), share);
    const rewindingS = addTrain(builder, train, echoS - halfTrainS);
    builder.add('read', train.readPrephaser, rewindingS, readBack);
    builder.add('phase', train.phasePrephaser, rewindingS, phaseBack);
    builder.add('slice', partitionLobe, rewindingS, -share);
  }
  return startS + readout.durationS;
}
