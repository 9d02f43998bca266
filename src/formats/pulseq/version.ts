/**
 * The section [VERSION].
 *
 * @module
 */
import type { PulseqVersion } from './sequence.js';
import { type SeqProblems, shown } from './problems.js';
import type { Sections } from './sections.js';

/** Minor versions of Pulseq 1 that are read. */
const MINORS = { min: 2, max: 5 };

const ALLOWED = 'Pulseq 1.2.0 to 1.5.1 as text';

/** Reads the version. Without it nothing else can be read. */
export function readVersion(sections: Sections, problems: SeqProblems): PulseqVersion {
  const section = sections.get('VERSION');
  if (section === undefined) {
    problems.fail(
      0,
      '[VERSION]',
      'no section [VERSION]',
      `[VERSION] with major, minor and revision (${ALLOWED})`,
      'Check that this is a Pulseq file, and that it is whole; export it again.',
    );
  }
  const parts = new Map<string, string>();
  const rows = section.rows();
  while (rows.next()) {
    const key = rows.word();
    if (parts.has(key)) problems.add(rows.at, '[VERSION]', `${shown(key)} twice`, 'each key once');
    parts.set(key, rows.rest());
  }
  for (const key of ['major', 'minor', 'revision']) {
    const value = parts.get(key);
    // A revision may carry a suffix: 1post1.
    if (value !== undefined && /^\d{1,4}([a-z]\w{0,20})?$/i.test(value)) continue;
    const found = value === undefined ? `no ${key}` : `${key} ${shown(value)}`;
    problems.fail(section.at, '[VERSION]', found, `${key}: a whole number`);
  }
  const text = `${parts.get('major')!}.${parts.get('minor')!}.${parts.get('revision')!}`;
  const minor = Number(parts.get('minor'));
  if (Number(parts.get('major')) !== 1 || !(minor >= MINORS.min && minor <= MINORS.max)) {
    problems.fail(
      section.at,
      '[VERSION]',
      `Pulseq ${text}`,
      ALLOWED,
      'Export the sequence in one of these versions.',
    );
  }
  return { minor, revision: parseInt(parts.get('revision')!, 10), text };
}
