/**
 * Arterial spin labelling: blood is labelled below the head, travels for a while in silence, then a
 * quick image is taken; over and over.
 *
 * Not drawn: pulses that cut the bolus of pulsed labelling off, and crushers of vessels.
 *
 * Heard: a long tone (pseudo-continuous labelling), a silence, a burst of beeps, a rest.
 *
 * @module
 */
import {
  booleanField,
  choiceField,
  numberField,
  type Scan,
  type Scanner,
} from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { echoPlanarTones, readTrain } from './echo-planar-shot.js';
import type { EchoPlanarTrain } from './echo-planar-train.js';
import { addFatSaturation, addInversion, FAT_PULSE_S, fatSaturationS } from './excitation.js';
import { geometryOf, scanGeometry } from './geometry.js';
import { drawGradientSpinEcho, layOutGradientSpinEcho } from './gradient-spin-echo.js';
import { formatTime, fullLimits, type GradientLimits, UnplayableError } from './hardware.js';
import { addLabelling } from './labelling.js';
import { drawSliceShot, layOutSliceShot } from './slice-shot.js';
import type { Line, PlayedScan } from './timeline.js';

/** Where in the delay the inversions of background suppression lie. Common practice, no source. */
const SUPPRESSION_AT = [0.35, 0.8];

/** Delays shorter than this, in s, hold no background suppression. */
const SHORTEST_SUPPRESSED_S = 0.2;

/** A readout ready to be drawn. */
interface Readout {
  /** From its start to its first excitation, and to its end, in s. */
  readonly excitationS: number;
  readonly durationS: number;
  readonly draw: (builder: BlockBuilder, startS: number) => void;
  readonly train: EchoPlanarTrain;
  readonly rhythm: Line;
}

export function playArterialSpinLabelling(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const repetitionS = numberField(scan, 'RepetitionTime');
  const delayS = numberField(scan, 'PostLabelingDelay');
  const is3d = choiceField(scan, 'MRAcquisitionType') === '3D';
  const readout = is3d ? volume(scan, limits) : slices(scan, limits);

  // Blood comes along the bore, whatever the plane of the image.
  const label = new BlockBuilder();
  const labelling = addLabelling(label, scan, 0, limits);
  const readoutStartS = labelling.labelledS + delayS - readout.excitationS;
  const endS = readoutStartS + readout.durationS;
  if (readoutStartS < labelling.endS || endS > repetitionS) {
    const early = readoutStartS < labelling.endS;
    throw new UnplayableError(
      early ? 'PostLabelingDelay' : 'RepetitionTime',
      early
        ? `a delay of ${formatTime(delayS)} after labelling leaves no time for what comes before the readout`
        : `labelling, a delay of ${formatTime(delayS)} and ${formatTime(readout.durationS)} of readout take ` +
            `${formatTime(endS)}, longer than the repetition time of ${formatTime(repetitionS)}`,
      early
        ? `at least ${formatTime(labelling.endS - labelling.labelledS + readout.excitationS)}`
        : `at least ${formatTime(endS)}`,
      'Check RepetitionTime, LabelingDuration, PostLabelingDelay and NumberOfSlices.',
    );
  }
  const image = new BlockBuilder();
  readout.draw(image, readoutStartS);
  if (booleanField(scan, 'BackgroundSuppression') && delayS >= SHORTEST_SUPPRESSED_S) {
    const waitS = readoutStartS - labelling.endS;
    for (const share of SUPPRESSION_AT) addInversion(image, labelling.endS + share * waitS, limits);
  }
  const layers = [
    { block: label.build(geometryOf('x', 'y', 'z')), gain: 1 },
    { block: image.build(scanGeometry(scan)), gain: 1 },
  ];
  const repeats = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionS));
  const waits =
    `${formatTime(labelling.endS)} of labelling, ${formatTime(delayS)} of delay, ` +
    `${formatTime(readout.durationS)} of readout`;
  const labellings = {
    hertz: 1 / repetitionS,
    cause: `labellings, 1/${formatTime(repetitionS)}: ${waits}`,
  };
  return {
    timeline: { segments: [{ durationS: repetitionS, repeats, layers }] },
    tones: [...echoPlanarTones(readout.train), ...labelling.tones],
    rhythm: is3d ? [labellings, readout.rhythm] : [readout.rhythm, labellings],
  };
}

/** Slices as quickly after one another as they can be. */
function slices(scan: Scan, limits: GradientLimits): Readout {
  const shot = layOutSliceShot(scan, readTrain(scan, limits), Infinity, limits);
  const count = numberField(scan, 'NumberOfSlices');
  const shots = Math.ceil(count / numberField(scan, 'MultibandAccelerationFactor'));
  return {
    excitationS: shot.excitationCentreS,
    durationS: shots * shot.durationS,
    draw: (builder, startS) => {
      for (let i = 0; i < shots; i++) drawSliceShot(builder, shot, startS + i * shot.durationS);
    },
    train: shot.train,
    rhythm: {
      hertz: 1 / shot.durationS,
      cause: `shots of a readout, ${formatTime(shot.durationS)} each`,
    },
  };
}

/** All of the volume in one train of refocusing pulses. */
function volume(scan: Scan, limits: GradientLimits): Readout {
  const readout = layOutGradientSpinEcho(scan, limits);
  const fatS = booleanField(scan, 'FatSaturation') ? fatSaturationS(FAT_PULSE_S.usual, limits) : 0;
  return {
    excitationS: fatS + readout.excitationCentreS,
    durationS: fatS + readout.durationS,
    draw: (builder, startS) => {
      if (fatS > 0) addFatSaturation(builder, startS, FAT_PULSE_S.usual, limits);
      drawGradientSpinEcho(builder, readout, startS + fatS);
    },
    train: readout.train,
    rhythm: {
      hertz: 1 / readout.spacingS,
      cause: `refocusing pulses of a readout, ${formatTime(readout.spacingS)} apart`,
    },
  };
}
