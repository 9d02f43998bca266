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
const USUAL_S = 1.8;

/** Fat saturation, half of the excitation and spoiler of a slice, in s. Common practice, no source. */
const SHOT_OVERHEAD_S = 0.018;

/** Length of a 3D readout, in s. Common practice, no source. */
const VOLUME_S = 0.45;

/** What a repetition holds besides labelling, delay and readout, in s. Common practice, no source. */
const MARGIN_S = 0.1;

/** Length of pulsed labelling with its spoiler, in s. Common practice, no source. */
const PULSED_S = 0.02;

/** What the length of the readout follows from. */
const READOUT: readonly FieldName[] = [
  'MRAcquisitionType',
  'NumberOfSlices',
  'MultibandAccelerationFactor',
  'EchoTime',
  'EchoSpacing',
  'EchoTrainLength',
];

function readoutS(...[dimension, slices, multiband, ...shot]: readonly FieldValue[]): number {
  if (dimension === '3D') return VOLUME_S;
  const [te, spacing, echoes] = shot as [number, number, number];
  const shots = (slices as number) / (multiband as number);
  return shots * (te + (spacing * echoes) / 2 + SHOT_OVERHEAD_S);
}

/** A time that the repetition time leaves for labelling or delay. */
const fromRepetition = (
  field: 'LabelingDuration' | 'PostLabelingDelay',
  other: readonly FieldName[],
  why: string,
  time: (roomS: number, otherS: number) => number,
): Rule => ({
  field,
  from: ['RepetitionTime', ...other, ...READOUT],
  why,
  estimate: true,
  value: (repetition, ...rest) => {
    const roomS = (repetition as number) - readoutS(...rest.slice(other.length)) - MARGIN_S;
    const timeS = Math.min(USUAL_S, time(roomS, rest[0] as number));
    return timeS >= PULSED_S ? Number(timeS.toPrecision(3)) : undefined;
  },
});

const LEFT = `what RepetitionTime leaves beside a readout, up to ${USUAL_S} s`;

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
      value: type => (type === 'PASL' ? PULSED_S : undefined),
    },
    fromRepetition(
      'LabelingDuration',
      ['PostLabelingDelay'],
      `${LEFT}, after the delay`,
      (roomS, delayS) => roomS - delayS,
    ),
    fromRepetition(
      'PostLabelingDelay',
      ['LabelingDuration'],
      `${LEFT}, after the labelling`,
      (roomS, labellingS) => roomS - labellingS,
    ),
    fromRepetition('PostLabelingDelay', [], `half of ${LEFT}`, roomS => roomS / 2),
    {
      field: 'RepetitionTime',
      from: ['LabelingDuration', 'PostLabelingDelay', ...READOUT],
      why: 'labelling, delay, readout and a little more',
      estimate: true,
      value: (labelling, delay, ...readout) => {
        const seconds = (labelling as number) + (delay as number) + readoutS(...readout) + MARGIN_S;
        return Math.ceil(seconds * 10) / 10;
      },
    },
    ...READOUT_RULES,
    ...VOLUMES,
  ],
};
