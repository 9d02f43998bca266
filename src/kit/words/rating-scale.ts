/**
 * How the child says how it was, by age: children of four to six cannot grade a fear (Thurillet, faces
 * for fear from 4 to 12 years), so they point at one of three faces; under four, and of a child asleep,
 * only the parent says.
 *
 * @module
 */
import type { AgeBand } from '../../protocol/plan-settings.js';
import type { Manifest } from '../manifest/manifest.js';
import { isAsleep } from './texts-for.js';

export type ChildMark = 'none' | 'pictures' | 'scale';

/**
 * How the parent of a child asleep says how it went, and the mark from 0 to 10 that it stands for in the
 * log: the rules take 0 for comfortable, 4 for all right and 7 for hard.
 */
export const ASLEEP_MARKS = [
  { mark: 0, word: 'markAsleep' },
  { mark: 4, word: 'markStirred' },
  { mark: 7, word: 'markWoke' },
] as const;

/** What a parent may see of the child: names of the log's `signs` column. */
export const seenSigns = (kit: Pick<Manifest, 'preset'>) =>
  isAsleep(kit) ? (['cried', 'froze'] as const) : (['ears', 'cried', 'left', 'froze'] as const);

/** What stops all practice: more names of that column. */
export const WORRIES = ['pain', 'ringing', 'upset_long', 'panic', 'seizure'] as const;

/** Age bands whose children point at a picture; older ones use a scale from 0 to 10. */
const PICTURES: readonly string[] = ['4-6'] satisfies AgeBand[];

/** Age bands in which only the parent says how it was. */
const PARENT_ONLY: readonly string[] = ['0-1', '2-3'] satisfies AgeBand[];

export function childMark({ ageBand, preset }: Pick<Manifest, 'ageBand' | 'preset'>): ChildMark {
  if (isAsleep({ preset }) || PARENT_ONLY.includes(ageBand)) return 'none';
  return PICTURES.includes(ageBand) ? 'pictures' : 'scale';
}
