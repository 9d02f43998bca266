/**
 * What only the sidecar of a 2D turbo spin echo tells.
 *
 * @module
 */
import { derived } from '../protocol/origin.js';
import type { Fields } from './sidecar-fields.js';
import type { Sidecar } from './sidecar.js';

/** Where scanners name the sequence. */
const SEQUENCE_NAMES = [
  'SequenceName',
  'PulseSequenceName',
  'PulseSequenceDetails',
  'PulseSequenceType',
];

/** How makers call a turbo spin echo that takes a slice in one train. */
const SINGLE_SHOT = /haste|ssfse|ss-?tse|single.?shot|(^|[^a-z])(ss|ufse)([^a-z]|$)/i;

/** A single shot, where the scanner's names or an echo train as long as the image say so. */
export function readTurboSpinEcho(sidecar: Sidecar): Fields {
  const key = SEQUENCE_NAMES.find(name => SINGLE_SHOT.test(sidecar.text(name)));
  if (key !== undefined) return { SingleShot: derived(true, `${key} names a single shot`) };
  const echoes = sidecar.positive('EchoTrainLength');
  const lines = sidecar.positive('AcquisitionMatrixPE');
  if (echoes === undefined || lines === undefined) return {};
  const played = (lines * (sidecar.positive('PartialFourier') ?? 0.5)) / sidecar.acceleration;
  if (echoes < played) return {};
  return { SingleShot: derived(true, `EchoTrainLength ${echoes} holds all of ${lines} lines`) };
}
