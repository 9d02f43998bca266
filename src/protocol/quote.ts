/**
 * Values that users wrote, as they are shown back to them: short, on one line, harmless to a terminal.
 *
 * @module
 */

/** Longest piece that is shown, in characters. */
const MAX_LENGTH = 60;

/** Control characters, line separators and characters that change the direction of writing. */
const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2066-\u2069\ufeff]/g;

/** Text on one line, without unprintable characters. */
export const singleLine = (text: string): string => text.replace(UNPRINTABLE, ' ');

/** {@link singleLine}, cut with an ellipsis after 60 characters. */
export function printable(text: string): string {
  const line = singleLine(text.slice(0, 4 * MAX_LENGTH));
  return line.length > MAX_LENGTH ? `${line.slice(0, MAX_LENGTH - 1)}…` : line;
}

/** A value with its kind, for example `"2"`, `[1, 2]`, `nothing`, `a mapping`. */
export function quote(value: unknown): string {
  if (value === undefined || value === null) return 'nothing';
  if (typeof value === 'string') return `"${printable(value)}"`;
  if (typeof value === 'number' || typeof value === 'boolean') return String(value);
  if (Array.isArray(value)) {
    const [first, second, third, ...rest] = value.map(item =>
      typeof item === 'object' ? '…' : quote(item),
    );
    const shown = [first, second, third].filter(item => item !== undefined);
    return printable(`[${[...shown, ...(rest.length > 0 ? ['…'] : [])].join(', ')}]`);
  }
  return typeof value === 'object' ? 'a mapping' : 'something that is not a value';
}
