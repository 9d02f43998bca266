/**
 * Field values as people read them.
 *
 * @module
 */
import type { FieldValue } from './fields.js';

/** A value as it is printed to people: numbers with at most six significant digits. */
export function formatValue(value: FieldValue): string {
  if (typeof value === 'number') return String(Number(value.toPrecision(6)));
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'string') return value;
  return `[${value.map(item => String(Number(item.toPrecision(6)))).join(', ')}]`;
}
