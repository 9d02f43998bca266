/**
 * One scan field against the dictionary: kind, range, choices, count.
 *
 * @module
 */
import type { Problem } from '../errors.js';
import { FIELDS, type FieldName, type FieldSpec } from './fields.js';
import { printable, quote } from './quote.js';

/** A problem whose place is known to the caller. */
export type Reason = Omit<Problem, 'where'>;

/** Seconds in the units that people write beside a number. */
const SECONDS_PER: Readonly<Record<string, number>> = { s: 1, ms: 1e-3, us: 1e-6, µs: 1e-6 };

/** What is wrong with a value of a field; undefined when nothing is. */
export function checkField(name: FieldName, value: unknown): Reason | undefined {
  const spec: FieldSpec = FIELDS[name];
  switch (spec.kind) {
    case 'number':
    case 'whole':
      return checkNumber(name, spec, value);
    case 'numbers':
      return checkNumbers(name, spec, value);
    case 'boolean':
      return typeof value === 'boolean'
        ? undefined
        : { ...foundAndAllowed(name, spec, value), fix: 'Write true or false.' };
    case 'choice':
      return spec.choices!.includes(value as string)
        ? undefined
        : { ...foundAndAllowed(name, spec, value), fix: `Write ${spec.choices!.join(' or ')}.` };
  }
}

/** What may stand in a field, in words with its unit. */
export function allowedIn(name: FieldName): string {
  const spec: FieldSpec = FIELDS[name];
  const unit = spec.unit === '' ? '' : ` ${spec.unit}`;
  const range = `from ${spec.min} to ${spec.max}${unit}`;
  switch (spec.kind) {
    case 'number':
      return `a number ${range}: ${spec.meaning}`;
    case 'whole':
      return `a whole number ${range}: ${spec.meaning}`;
    case 'numbers': {
      const [min, max] = spec.count!;
      return `a list of ${min === max ? min : `${min} to ${max}`} numbers ${range}: ${spec.meaning}`;
    }
    case 'boolean':
      return `true or false: ${spec.meaning}`;
    case 'choice':
      return `${spec.choices!.join(', ')}: ${spec.meaning}`;
  }
}

function foundAndAllowed(
  name: FieldName,
  spec: FieldSpec,
  value: unknown,
): { found: string; allowed: string } {
  const unit = typeof value === 'number' && spec.unit !== '' ? ` ${spec.unit}` : '';
  return { found: `${name} is ${quote(value)}${unit}`, allowed: allowedIn(name) };
}

function checkNumber(name: FieldName, spec: FieldSpec, value: unknown): Reason | undefined {
  if (typeof value === 'number' && fits(spec, value)) return undefined;
  return { ...foundAndAllowed(name, spec, value), fix: fixNumber(name, spec, value) };
}

function checkNumbers(name: FieldName, spec: FieldSpec, value: unknown): Reason | undefined {
  const [min, max] = spec.count!;
  const problem = foundAndAllowed(name, spec, value);
  if (!Array.isArray(value)) {
    return { ...problem, fix: `Write a list in brackets, such as ${name}: [1, 2, 3].` };
  }
  if (value.length < min || value.length > max) {
    return {
      found: `${problem.found}, ${value.length} values`,
      allowed: problem.allowed,
      fix: `Give ${min === max ? min : `${min} to ${max}`} values.`,
    };
  }
  if (spec.rising && value.some((item, i) => i > 0 && item <= value[i - 1])) {
    return {
      ...problem,
      allowed: `${problem.allowed}, each larger than the one before`,
      fix: 'Put them in order, each once.',
    };
  }
  const wrong: unknown = value.find(item => typeof item !== 'number' || !fits(spec, item));
  if (wrong === undefined && !value.includes(undefined)) return undefined;
  return {
    found: `${name} holds ${quote(wrong)}`,
    allowed: problem.allowed,
    fix: fixNumber(name, spec, wrong),
  };
}

function fits(spec: FieldSpec, value: number): boolean {
  if (!Number.isFinite(value) || value < spec.min! || value > spec.max!) return false;
  return spec.kind !== 'whole' || Number.isInteger(value);
}

/** The fix for a number that does not fit: for the slips that are seen most, the right number. */
function fixNumber(name: FieldName, spec: FieldSpec, value: unknown): string {
  const meant = meantNumber(spec, value);
  if (meant !== undefined)
    return `Write ${name}: ${Number(meant.toPrecision(6))}, if that is meant.`;
  if (value === undefined || value === null) return `Write a number, or remove ${name}.`;
  return `Correct ${name}, or remove it if it is not known.`;
}

/** The number that was probably meant: written as text, with a comma, with a unit, or in milliseconds. */
function meantNumber(spec: FieldSpec, value: unknown): number | undefined {
  const inRange = (number: number): number | undefined => (fits(spec, number) ? number : undefined);
  if (typeof value === 'number') {
    return spec.unit === 's' ? inRange(value * 1e-3) : inRange(Math.round(value));
  }
  if (typeof value !== 'string') return undefined;
  const match = /^\s*([+-]?\d*[.,]?\d+)\s*([a-zµ/0-9]*)\s*$/i.exec(printable(value));
  if (match === null) return undefined;
  const number = Number(match[1]!.replace(',', '.'));
  const unit = match[2]!;
  if (unit === '' || unit === spec.unit) return inRange(number);
  const seconds = SECONDS_PER[unit.toLowerCase()];
  return spec.unit === 's' && seconds !== undefined ? inRange(number * seconds) : undefined;
}
