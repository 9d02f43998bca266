/**
 * What is typical of a sequence family, from its file in `sounds-synth/scans/`.
 *
 * @module
 */
import { parse } from 'yaml';
import { z } from 'zod';
import { checkField } from './check-field.js';
import { FAMILY_FIELDS } from './families.js';
import type { FieldName } from './fields.js';
import type { TypicalScan, TypicalValue } from './resolve.js';
import { SCAN_TYPES } from './scan.js';

const VALUE = z.strictObject({
  value: z.union([z.number(), z.boolean(), z.string(), z.array(z.number())]),
  source: z.string().min(1),
  absence: z.boolean().default(false),
});

const TYPICAL = z.strictObject({
  type: z.enum(SCAN_TYPES),
  plainName: z.string().min(1),
  fields: z.record(z.string(), VALUE),
});

/**
 * Typical values from the text of their file.
 *
 * @throws {Error} The text is not as it must be: a fault of ours, since the file ships with the program.
 */
export function parseTypicalScan(text: string): TypicalScan {
  const { type, plainName, fields } = TYPICAL.parse(parse(text));
  const allowed: readonly string[] = FAMILY_FIELDS[type];
  const checked: Partial<Record<FieldName, TypicalValue>> = {};
  for (const [name, { value, source, absence }] of Object.entries(fields)) {
    if (!allowed.includes(name)) throw new Error(`${type} has no field ${name}`);
    const wrong = checkField(name as FieldName, value);
    if (wrong !== undefined) throw new Error(`${type}.${name}: ${wrong.found}`);
    checked[name as FieldName] = { value: value, source, absence };
  }
  return { type, plainName, fields: checked };
}
