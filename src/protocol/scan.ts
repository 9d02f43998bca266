/**
 * A scan of the protocol, once every field is known and says where it comes from.
 *
 * @module
 */
import type { FieldName, FieldValue } from './fields.js';
import type { Sourced } from './origin.js';

/** The sequence families softknock can sound. Each has one file in `gradients/`. */
export const SCAN_TYPES = [
  'localiser',
  'gradient-echo-2d',
  'gradient-echo-3d',
  'balanced-steady-state',
  'spiral',
  'radial-gradient-echo',
  'zero-echo-time',
  'inversion-gradient-echo-3d',
  'turbo-spin-echo-3d',
  'turbo-spin-echo-2d',
  'spin-echo-2d',
  'echo-planar',
  'spin-echo-echo-planar',
  'diffusion-echo-planar',
  'field-map-gradient-echo',
  'field-map-echo-planar',
  'arterial-spin-labelling',
  'spectroscopy',
  'pre-scan',
  'table-motion',
  'pause',
] as const;

export type ScanType = (typeof SCAN_TYPES)[number];

/** The type of a scan that needs no family: what its gradients do stands in a Pulseq file. */
export const PULSEQ = 'pulseq';

/** What may stand as the type of a scan. */
export const ENTRY_TYPES = [...SCAN_TYPES, PULSEQ] as const;

export type EntryType = (typeof ENTRY_TYPES)[number];

export type ScanFields = Readonly<Partial<Record<FieldName, Sourced<FieldValue>>>>;

export interface Scan {
  /** Name for staff, unique in the protocol, for example `func-rest`. */
  readonly name: string;
  /** Name for families, for example `Fast humming`. */
  readonly plainName: string;
  readonly type: EntryType;
  readonly fields: ScanFields;
  /** SHA-256 of the file that a scan of type `pulseq` is played from. */
  readonly fileHash?: string;
}

/** What the scanner can do. Slew rate and amplitude are per physical axis. */
export interface Scanner {
  /** Tesla. */
  readonly MagneticFieldStrength: Sourced<number>;
  /** mT/m. */
  readonly MaximumGradientAmplitude: Sourced<number>;
  /** T/m/s (equal to mT/m/ms). */
  readonly MaximumSlewRate: Sourced<number>;
  /** Name of a response model in `sounds-synth/responses/`, or path of the scanner's own. */
  readonly response: Sourced<string>;
  /** Name of what is worn in the scan: an attenuation curve in `sounds-synth/protection/`. */
  readonly protection: Sourced<string>;
}

/**
 * The value of a numeric field.
 *
 * @throws {RangeError} The scan has no such field: a fault of the caller, since resolving a scan
 * fills in every field that its family needs.
 */
export function numberField(scan: Scan, name: FieldName): number {
  const value = scan.fields[name]?.value;
  if (typeof value !== 'number') throw new RangeError(`scan ${scan.name} has no number ${name}`);
  return value;
}

/** The value of a list field. @throws {RangeError} as {@link numberField}. */
export function numbersField(scan: Scan, name: FieldName): readonly number[] {
  const value = scan.fields[name]?.value;
  if (!Array.isArray(value)) throw new RangeError(`scan ${scan.name} has no list ${name}`);
  return value as readonly number[];
}

/** The value of a choice field. @throws {RangeError} as {@link numberField}. */
export function choiceField(scan: Scan, name: FieldName): string {
  const value = scan.fields[name]?.value;
  if (typeof value !== 'string') throw new RangeError(`scan ${scan.name} has no choice ${name}`);
  return value;
}

/** The value of a yes/no field. @throws {RangeError} as {@link numberField}. */
export function booleanField(scan: Scan, name: FieldName): boolean {
  const value = scan.fields[name]?.value;
  if (typeof value !== 'boolean') throw new RangeError(`scan ${scan.name} has no yes/no ${name}`);
  return value;
}
