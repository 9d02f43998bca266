/**
 * What only the sidecar of arterial spin labelling tells (BIDS: "Arterial Spin Labeling perfusion data").
 *
 * @module
 */
import type { FieldName } from '../protocol/fields.js';
import { derived, given, type Sourced } from '../protocol/origin.js';
import type { FieldFinding, Fields } from './sidecar-fields.js';
import type { Sidecar } from './sidecar.js';

/** Numbers under their own names. */
const SAME_NAME: readonly FieldName[] = [
  'LabelingDuration',
  'LabelingPulseInterval',
  'LabelingPulseMaximumGradient',
  'LabelingPulseAverageGradient',
];

/** How labelling is called, and how series say it. */
const TYPES = ['PCASL', 'CASL', 'PASL'] as const;

/** Reads labelling, delay and dimension. */
export function readLabelling(sidecar: Sidecar): FieldFinding {
  const fields: Fields = {};
  const notes: string[] = [];
  const type = TYPES.find(name => name === sidecar.text('ArterialSpinLabelingType').toUpperCase());
  if (type !== undefined) {
    fields.ArterialSpinLabelingType = given(type, sidecar.cite('ArterialSpinLabelingType'));
  }
  for (const name of SAME_NAME) {
    const value = sidecar.positive(name);
    if (value !== undefined) fields[name] = given(value, sidecar.cite(name));
  }
  const delay = readDelay(sidecar);
  if (delay !== undefined) fields.PostLabelingDelay = delay;
  const dimension = sidecar.text('MRAcquisitionType');
  if (dimension === '2D' || dimension === '3D') {
    fields.MRAcquisitionType = given(dimension, sidecar.cite('MRAcquisitionType'));
  }
  const suppressed = sidecar.flag('BackgroundSuppression');
  if (suppressed !== undefined) {
    fields.BackgroundSuppression = given(suppressed, sidecar.cite('BackgroundSuppression'));
  }
  if (sidecar.flag('BolusCutOffFlag') === true) {
    notes.push('The pulses that cut the labelled blood off are not sounded.');
  }
  return { fields, notes };
}

/** The delay; the longest where there are several. One converter has a name of its own for it. */
function readDelay(sidecar: Sidecar): Sourced<number> | undefined {
  const delays = sidecar.numbers('PostLabelingDelay')?.filter(delay => delay > 0) ?? [];
  if (delays.length === 1) return given(delays[0]!, sidecar.cite('PostLabelingDelay'));
  if (delays.length > 1) {
    return derived(Math.max(...delays), `longest of ${delays.length} in PostLabelingDelay`);
  }
  const other = sidecar.positive('PostLabelDelay');
  return other === undefined ? undefined : given(other, sidecar.cite('PostLabelDelay'));
}
