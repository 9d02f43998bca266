/**
 * Where a value comes from. Every number that shapes a sound carries this with it to the end.
 *
 * @module
 */

/**
 * - `given`: stands in the study file.
 * - `derived`: computed from given values by the rule that `why` names.
 * - `assumed`: a typical value, from the source that `why` names.
 */
export type Origin = 'given' | 'derived' | 'assumed';

/** A value with its origin. */
export interface Sourced<T> {
  readonly value: T;
  readonly origin: Origin;
  /** For `given`: where it stands. For `derived`: the rule, with its numbers. For `assumed`: the source. */
  readonly why: string;
}

export const given = <T>(value: T, why: string): Sourced<T> => ({ value, origin: 'given', why });
export const derived = <T>(value: T, why: string): Sourced<T> => ({
  value,
  origin: 'derived',
  why,
});
export const assumed = <T>(value: T, why: string): Sourced<T> => ({
  value,
  origin: 'assumed',
  why,
});
