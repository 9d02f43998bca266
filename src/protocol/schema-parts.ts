/**
 * Pieces that the schema of `study.yaml` is put together from. The error text of each says what is
 * allowed.
 *
 * @module
 */
import * as z from 'zod';
import { isOneLine } from './one-line.js';

/** Longest name, in characters. */
export const MAX_NAME = 80;

/** Longest path, in characters. */
export const MAX_PATH = 400;

/** Longest free text, in characters. */
export const MAX_TEXT = 2000;

/** One line of text that a person reads. */
export const line = (what: string, max = MAX_NAME) => {
  const error = `${what}: one line of text, 1 to ${max} characters`;
  return z.string({ error }).refine(text => isOneLine(text, max), { error });
};

export const number = (what: string, min: number, max: number, unit: string) => {
  const error = `${what}: a number from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}`;
  return z.number({ error }).min(min, { error }).max(max, { error });
};

export const whole = (what: string, min: number, max: number) => {
  const error = `${what}: a whole number from ${min} to ${max}`;
  return z.number({ error }).int({ error }).min(min, { error }).max(max, { error });
};

export const date = (what: string) => {
  const error = `${what}: a date of the calendar as YYYY-MM-DD`;
  return z.string({ error }).refine(isDate, { error });
};

export const choice = <const T extends readonly string[]>(what: string, choices: T) =>
  z.enum(choices, { error: `${what}: ${choices.join(', ')}` });

export const yesNo = (what: string) => z.boolean({ error: `${what}: true or false` });

export const mapping = <T extends z.ZodRawShape>(what: string, shape: T) =>
  z.strictObject(shape, { error: `${what}: "key: value" lines, indented under it` });

/** A scan's name: it becomes part of file names. */
export const scanName = z
  .string({ error: 'a short name: lower-case letters, digits and hyphens' })
  .regex(/^[a-z0-9][a-z0-9-]{0,39}$/, {
    error: 'lower-case letters, digits and hyphens, up to 40, starting with a letter or digit',
  });

export const scanNames = (what: string) =>
  z.array(scanName, { error: `${what}: a list of scan names in brackets` });

function isDate(text: string): boolean {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (match === null) return false;
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])];
  const date = new Date(Date.UTC(year, month - 1, day));
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
}
