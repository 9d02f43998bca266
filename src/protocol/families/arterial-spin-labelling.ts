/**
 * Arterial spin labelling.
 *
 * @module
 */
import type { FieldName, FieldValue } from '../fields.js';
import { VOLUMES } from './common.js';
import { READOUT_FIELDS, READOUT_RULES } from './echo-planar.js';
import type { Family, Rule } from './family.js';

/** Labelling, and delay after it, in s: recommended for adults, PCASL (Alsop and others 2015); from memory. */
const USUAL_SECONDS = 1.8;

/** Fat saturation, half of the excitation and spoiler of a slice, in s. Common practice, no source. */
const SHOT_OVERHEAD_SECONDS = 0.018;

/** Length of a 3D readout, in s. Common practice, no source. */
const VOLUME_SECONDS = 0.45;

/** What a repetition holds besides labelling, delay and readout, in s. Common practice, no source. */
const MARGIN_SECONDS = 0.1;

/** Length of pulsed labelling with its spoiler, in s. Common practice, no source. */
const PULSED_SECONDS = 0.02;

/** What the length of the readout follows from. */
const READOUT: readonly FieldName[] = [
  'MRAcquisitionType',
  'NumberOfSlices',
  'MultibandAccelerationFactor',
  'EchoTime',
  'EchoSpacing',
  'EchoTrainLength',
];

function readoutSeconds(...[dimension, slices, multiband, ...shot]: readonly FieldValue[]): number {
  if (dimension === '3D') return VOLUME_SECONDS;
  const [te, spacing, echoes] = shot as [number, number, number];
  const shots = (slices as number) / (multiband as number);
  return shots * (te + (spacing * echoes) / 2 + SHOT_OVERHEAD_SECONDS);
}

/** A time that the repetition time leaves for labelling or delay. */
const fromRepetition = (
  field: 'LabelingDuration' | 'PostLabelingDelay',
  other: readonly FieldName[],
  why: string,
  time: (roomSeconds: number, otherSeconds: number) => number,
): Rule => ({
  field,
  from: ['RepetitionTime', ...other, ...READOUT],
  why,
  estimate: true,
  value: (repetition, ...rest) => {
    const roomSeconds =
      (repetition as number) - readoutSeconds(...rest.slice(other.length)) - MARGIN_SECONDS;
    const timeSeconds = Math.min(USUAL_SECONDS, time(roomSeconds, rest[0] as number));
    return timeSeconds >= PULSED_SECONDS ? Number(timeSeconds.toPrecision(3)) : undefined;
  },
});

const LEFT = `what RepetitionTime leaves beside a readout, up to ${USUAL_SECONDS} s`;

export const arterialSpinLabelling: Family = {
  fields: [
    ...READOUT_FIELDS,
    'MultibandAccelerationFactor',
    'MRAcquisitionType',
    'RFEchoTrainLength',
    'ArterialSpinLabelingType',
    'LabelingDuration',
    'PostLabelingDelay',
    'LabelingPulseInterval',
    'LabelingPulseMaximumGradient',
    'LabelingPulseAverageGradient',
    'BackgroundSuppression',
  ],
  rules: [
    {
      field: 'LabelingDuration',
      from: ['ArterialSpinLabelingType'],
      why: 'pulsed labelling is one pulse with its spoiler',
      estimate: false,
      value: type => (type === 'PASL' ? PULSED_SECONDS : undefined),
    },
    fromRepetition(
      'LabelingDuration',
      ['PostLabelingDelay'],
      `${LEFT}, after the delay`,
      (roomSeconds, delaySeconds) => roomSeconds - delaySeconds,
    ),
    fromRepetition(
      'PostLabelingDelay',
      ['LabelingDuration'],
      `${LEFT}, after the labelling`,
      (roomSeconds, labellingSeconds) => roomSeconds - labellingSeconds,
    ),
    fromRepetition('PostLabelingDelay', [], `half of ${LEFT}`, roomSeconds => roomSeconds / 2),
    {
      field: 'RepetitionTime',
      from: ['LabelingDuration', 'PostLabelingDelay', ...READOUT],
      why: 'labelling, delay, readout and a little more',
      estimate: true,
      value: (labelling, delay, ...readout) => {
        const seconds =
          (labelling as number) + (delay as number) + readoutSeconds(...readout) + MARGIN_SECONDS;
        return Math.ceil(seconds * 10) / 10;
      },
    },
    ...READOUT_RULES,
    ...VOLUMES,
  ],
};
