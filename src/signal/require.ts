/**
 * Guards for numeric arguments. Every message names the argument, its limits with unit, and the
 * value given.
 *
 * @module
 */

/**
 * Returns `value` when `min <= value <= max`.
 *
 * @throws {RangeError} otherwise, or when `value` is NaN.
 */
export function requireInRange(
  value: number,
  name: string,
  min: number,
  max: number,
  unit: string,
): number {
  if (value >= min && value <= max) return value;
  throw new RangeError(`${name} must be between ${min} and ${max} ${unit}, got ${value}`);
}

/**
 * Returns `value` when it is a whole number from `min` to `max`.
 *
 * @throws {RangeError} otherwise.
 */
export function requireWhole(value: number, name: string, min: number, max: number): number {
  if (Number.isSafeInteger(value) && value >= min && value <= max) return value;
  throw new RangeError(`${name} must be a whole number from ${min} to ${max}, got ${value}`);
}
