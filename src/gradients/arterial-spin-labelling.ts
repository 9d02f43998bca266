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
import {
  addFatSaturation,
  addInversion,
  FAT_PULSE_SECONDS,
  fatSaturationSeconds,
} from './excitation.js';
import { geometryOf, scanGeometry } from './geometry.js';
import { drawGradientSpinEcho, layOutGradientSpinEcho } from './gradient-spin-echo.js';
import { formatTime, fullLimits, type GradientLimits, UnplayableError } from './hardware.js';
import { addLabelling } from './labelling.js';
import { drawSliceShot, layOutSliceShot } from './slice-shot.js';
import type { Line, PlayedScan } from './timeline.js';

/** Where in the delay the inversions of background suppression lie. Common practice, no source. */
const SUPPRESSION_AT = [0.35, 0.8];

/** Delays shorter than this, in s, hold no background suppression. */
const SHORTEST_SUPPRESSED_SECONDS = 0.2;

/** A readout ready to be drawn. */
interface Readout {
  /** From its start to its first excitation, and to its end, in s. */
  readonly excitationSeconds: number;
  readonly durationSeconds: number;
  readonly draw: (builder: BlockBuilder, startSeconds: number) => void;
  readonly train: EchoPlanarTrain;
  readonly rhythm: Line;
}

export function playArterialSpinLabelling(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const delaySeconds = numberField(scan, 'PostLabelingDelay');
  const is3d = choiceField(scan, 'MRAcquisitionType') === '3D';
  const readout = is3d ? volume(scan, limits) : slices(scan, limits);

  // Blood comes along the bore, whatever the plane of the image.
  const label = new BlockBuilder();
  const labelling = addLabelling(label, scan, 0, limits);
  const readoutStartSeconds = labelling.labelledSeconds + delaySeconds - readout.excitationSeconds;
  const endSeconds = readoutStartSeconds + readout.durationSeconds;
  if (readoutStartSeconds < labelling.endSeconds || endSeconds > repetitionSeconds) {
    const early = readoutStartSeconds < labelling.endSeconds;
    throw new UnplayableError(
      early ? 'PostLabelingDelay' : 'RepetitionTime',
      early
        ? `a delay of ${formatTime(delaySeconds)} after labelling leaves no time for what comes before the readout`
        : `labelling, a delay of ${formatTime(delaySeconds)} and ${formatTime(readout.durationSeconds)} of readout take ` +
            `${formatTime(endSeconds)}, longer than the repetition time of ${formatTime(repetitionSeconds)}`,
      early
        ? `at least ${formatTime(labelling.endSeconds - labelling.labelledSeconds + readout.excitationSeconds)}`
        : `at least ${formatTime(endSeconds)}`,
      'Check RepetitionTime, LabelingDuration, PostLabelingDelay and NumberOfSlices.',
    );
  }
  const image = new BlockBuilder();
  readout.draw(image, readoutStartSeconds);
  if (booleanField(scan, 'BackgroundSuppression') && delaySeconds >= SHORTEST_SUPPRESSED_SECONDS) {
    const waitSeconds = readoutStartSeconds - labelling.endSeconds;
    for (const share of SUPPRESSION_AT)
      addInversion(image, labelling.endSeconds + share * waitSeconds, limits);
  }
  const layers = [
    { block: label.build(geometryOf('x', 'y', 'z')), gain: 1 },
    { block: image.build(scanGeometry(scan)), gain: 1 },
  ];
  const repeats = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionSeconds));
  const waits =
    `${formatTime(labelling.endSeconds)} of labelling, ${formatTime(delaySeconds)} of delay, ` +
    `${formatTime(readout.durationSeconds)} of readout`;
  const labellings = {
    hertz: 1 / repetitionSeconds,
    cause: `labellings, 1/${formatTime(repetitionSeconds)}: ${waits}`,
  };
  return {
    timeline: { segments: [{ durationSeconds: repetitionSeconds, repeats, layers }] },
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
    excitationSeconds: shot.excitationCentreSeconds,
    durationSeconds: shots * shot.durationSeconds,
    draw: (builder, startSeconds) => {
      for (let i = 0; i < shots; i++)
        drawSliceShot(builder, shot, startSeconds + i * shot.durationSeconds);
    },
    train: shot.train,
    rhythm: {
      hertz: 1 / shot.durationSeconds,
      cause: `shots of a readout, ${formatTime(shot.durationSeconds)} each`,
    },
  };
}

/** All of the volume in one train of refocusing pulses. */
function volume(scan: Scan, limits: GradientLimits): Readout {
  const readout = layOutGradientSpinEcho(scan, limits);
  const fatSeconds = booleanField(scan, 'FatSaturation')
    ? fatSaturationSeconds(FAT_PULSE_SECONDS.usual, limits)
    : 0;
  return {
    excitationSeconds: fatSeconds + readout.excitationCentreSeconds,
    durationSeconds: fatSeconds + readout.durationSeconds,
    draw: (builder, startSeconds) => {
      if (fatSeconds > 0) addFatSaturation(builder, startSeconds, FAT_PULSE_SECONDS.usual, limits);
      drawGradientSpinEcho(builder, readout, startSeconds + fatSeconds);
    },
    train: readout.train,
    rhythm: {
      hertz: 1 / readout.spacingSeconds,
      cause: `refocusing pulses of a readout, ${formatTime(readout.spacingSeconds)} apart`,
    },
  };
}
