/**
 * What a sequence family is to the protocol: the fields it understands, and how a missing one follows
 * from others.
 *
 * Exact rules come first. An `estimate` gives a plausible value from a loose relation and its result
 * counts as assumed; it still beats the family's typical value, since it follows this protocol.
 *
 * @module
 */
import type { FieldName, FieldValue } from '../fields.js';

export interface Family {
  /** The fields that may stand in a scan of this family. */
  readonly fields: readonly FieldName[];
  /** In the order in which they are tried. */
  readonly rules: readonly Rule[];
}

export interface Rule {
  readonly field: FieldName;
  readonly from: readonly FieldName[];
  /** The rule in words; the values of `from` are printed after it. */
  readonly why: string;
  /** Whether the result is only plausible. */
  readonly estimate: boolean;
  /** The value; undefined where the rule has nothing to say. Arguments are the values of `from`. */
  readonly value: (...from: FieldValue[]) => FieldValue | undefined;
}

/** A rule between numbers. */
export function rule(
  field: FieldName,
  from: readonly FieldName[],
  why: string,
  value: (...from: number[]) => FieldValue | undefined,
): Rule {
  return { field, from, why, estimate: false, value: (...args) => value(...(args as number[])) };
}

/** A loose relation between numbers. */
export function estimate(...args: Parameters<typeof rule>): Rule {
  return { ...rule(...args), estimate: true };
}

/** A duration as `Duration` allows it: rules do not turn tiny protocols into impossible ones. */
export const positive = (durationSeconds: number): number | undefined =>
  durationSeconds >= 0.5 ? durationSeconds : undefined;
