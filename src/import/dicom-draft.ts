/**
 * A sidecar in the making, from the values of a DICOM header.
 *
 * @module
 */

/** Digits kept, as in sidecars: makers write single-precision numbers with all of theirs. */
const SIGNIFICANT_DIGITS = 6;

export class SidecarDraft {
  readonly json: Record<string, unknown> = {};
  readonly places: Record<string, string> = {};

  /** Sets a value, in place of one that is there; undefined and empty values are left out. */
  set(key: string, value: unknown, place: string): void {
    if (value === undefined || value === '' || (Array.isArray(value) && value.length === 0)) return;
    this.json[key] = value;
    this.places[key] = place;
  }

  /** Sets a number times a factor, if it is above zero. */
  setNumber(key: string, value: number | undefined, place: string, factor = 1): void {
    if (value === undefined || value <= 0) return;
    this.set(key, Number((value * factor).toPrecision(SIGNIFICANT_DIGITS)), place);
  }

  drop(key: string): void {
    Reflect.deleteProperty(this.json, key);
  }

  has(key: string): boolean {
    return Object.hasOwn(this.json, key);
  }
}
