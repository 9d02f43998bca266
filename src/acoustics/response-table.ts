/**
 * A user's own response as a table: a column `hertz`, and magnitudes per axis in columns `x`, `y`, `z`
 * (Pa/(mT/m)) or `x_relative`, `y_relative`, `z_relative`.
 *
 * @module
 */
import { UserError } from '../errors.js';
import { parseNumberTable } from '../formats/number-table.js';
import { AXES, type Axis } from '../gradients/timeline.js';
import type { MagnitudeTable } from './measured-response.js';

/** Fewest rows that make a response. */
const MIN_ROWS = 8;

/** @throws {UserError} `BAD_STUDY`: not such a table; every problem with its place. */
export function parseResponseTable(text: string, fileName: string): MagnitudeTable {
  const { columns, values } = parseNumberTable(text, fileName, 'BAD_STUDY');
  const fail = (found: string, allowed: string): never => {
    throw new UserError('BAD_STUDY', `${fileName} is not a response.`, [
      { where: fileName, found, allowed, fix: 'Correct the table, or name a shipped response.' },
    ]);
  };
  const column = (name: string): readonly number[] | undefined => values[columns.indexOf(name)];
  const hertz = column('hertz');
  if (hertz === undefined) return fail(`columns ${columns.join(', ')}`, 'a column named hertz');
  const relative = AXES.some(axis => columns.includes(`${axis}_relative`));
  const axes: Partial<Record<Axis, readonly number[]>> = {};
  for (const axis of AXES) {
    const magnitudes = column(relative ? `${axis}_relative` : axis);
    if (magnitudes !== undefined) axes[axis] = magnitudes;
  }
  const found = Object.values(axes);
  if (found.length === 0 || (relative && AXES.some(axis => columns.includes(axis)))) {
    return fail(
      `columns ${columns.join(', ')}`,
      'x, y, z in Pa/(mT/m), or x_relative, y_relative, z_relative; at least one, not both kinds',
    );
  }
  if (hertz.length < MIN_ROWS) return fail(`${hertz.length} rows`, `at least ${MIN_ROWS}`);
  if (hertz.some((value, i) => value <= (hertz[i - 1] ?? 0))) {
    return fail('frequencies that do not rise', 'frequencies above 0, each above the one before');
  }
  if (found.some(magnitudes => magnitudes.some(value => value <= 0))) {
    return fail('magnitudes of 0 or below', 'magnitudes above 0');
  }
  return { hertz, axes, relative };
}
