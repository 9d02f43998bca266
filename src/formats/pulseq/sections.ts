/**
 * The sections of a `.seq` file: where each begins and ends.
 *
 * @module
 */
import { Rows } from './rows.js';
import { type SeqProblems, shown } from './problems.js';

/** Every section of versions 1.2 to 1.5. */
const SECTIONS = [
  'VERSION',
  'DEFINITIONS',
  'BLOCKS',
  'RF',
  'GRADIENTS',
  'TRAP',
  'ADC',
  'DELAYS',
  'EXTENSIONS',
  'SHAPES',
  'SIGNATURE',
] as const;

export type SectionName = (typeof SECTIONS)[number];

export class Section {
  constructor(
    private readonly text: string,
    readonly name: SectionName,
    /** Offset of the line `[NAME]`. */
    readonly at: number,
    private readonly end: number,
  ) {}

  /** Its rows, from the first. */
  rows(): Rows {
    return new Rows(this.text, this.at, this.end);
  }
}

export type Sections = ReadonlyMap<SectionName, Section>;

/** Finds every section. Unknown and repeated ones are problems. */
export function findSections(text: string, problems: SeqProblems): Sections {
  const starts: number[] = text.startsWith('[') ? [0] : [];
  for (let at = text.indexOf('\n['); at !== -1; at = text.indexOf('\n[', at + 1)) {
    starts.push(at + 1);
  }
  const sections = new Map<SectionName, Section>();
  for (const [i, at] of starts.entries()) {
    const end = starts[i + 1] ?? text.length;
    const header = headerAt(text, at, end);
    const name = SECTIONS.find(known => `[${known}]` === header);
    if (name === undefined) {
      problems.add(
        at,
        '',
        `an unknown section, ${shown(header)}`,
        SECTIONS.map(known => `[${known}]`).join(' '),
      );
    } else if (sections.has(name)) {
      problems.add(at, `[${name}]`, `a second section [${name}]`, 'each section once');
    } else sections.set(name, new Section(text, name, at, end));
  }
  return sections;
}

/** The first word of a section's line. */
function headerAt(text: string, at: number, end: number): string {
  const newline = text.indexOf('\n', at);
  const line = text.slice(at, newline === -1 ? end : Math.min(newline, end));
  return line.trim();
}
