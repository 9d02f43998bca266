/**
 * Calendar days as text (`YYYY-MM-DD`, ISO 8601), counted without clock or time zone.
 *
 * @module
 */

const MS_PER_DAY = 86_400_000;

/** Whether `text` is a day that exists, written `YYYY-MM-DD`. */
export function isDate(text: string): boolean {
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) return false;
  const ms = Date.parse(`${text}T00:00:00Z`);
  // Date.parse refuses month 13, but takes 30 February for 1 or 2 March.
  return !Number.isNaN(ms) && new Date(ms).toISOString().startsWith(text);
}

/**
 * The day `days` after `date` (before it, when negative).
 *
 * @throws {RangeError} `date` is not a day, or the result is not in the years 0 to 9999.
 */
export function addDays(date: string, days: number): string {
  const text = new Date(dayNumber(date) * MS_PER_DAY + days * MS_PER_DAY).toISOString();
  if (!/^\d{4}-/.test(text)) throw new RangeError(`${days} days after ${date} is out of range`);
  return text.slice(0, 10);
}

/** Days from `from` to `to`: 1 when `to` is the next day. @throws {RangeError} Either is not a day. */
export const daysBetween = (from: string, to: string): number => dayNumber(to) - dayNumber(from);

/** Days since 1970-01-01. */
function dayNumber(date: string): number {
  if (!isDate(date)) throw new RangeError(`date must be a day as YYYY-MM-DD, got ${date}`);
  return Date.parse(`${date}T00:00:00Z`) / MS_PER_DAY;
}
