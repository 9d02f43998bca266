/**
 * A plan in words for staff.
 *
 * @module
 */
import type { Plan } from './plan.js';

/** A level relative to talk, with its sign: `+5`, `0`, `-10.5`. */
export const signedDb = (db: number): string => `${db > 0 ? '+' : ''}${Math.round(10 * db) / 10}`;

/** Length and days: `22 days from 2027-05-23, scan on 2027-06-14`. */
export function planSpan({ days, startDate, scanDate }: Plan): string {
  if (startDate === null) return `${days} days`;
  return `${days} days from ${startDate}${scanDate === null ? '' : `, scan on ${scanDate}`}`;
}
