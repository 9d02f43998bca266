/**
 * How the child says how it was, by age: children under seven cannot grade a fear (practice notes
 * 2.6), so they point at one of three faces; under four only the parent says.
 *
 * @module
 */
import type { AgeBand } from '../protocol/plan-settings.js';

export type ChildMark = 'none' | 'pictures' | 'scale';

/** Age bands whose children point at a picture; older ones use a scale from 0 to 10. */
const PICTURES: readonly string[] = ['4-6'] satisfies AgeBand[];

/** Age bands in which only the parent says how it was. */
const PARENT_ONLY: readonly string[] = ['0-1', '2-3'] satisfies AgeBand[];

export function childMark(ageBand: string): ChildMark {
  if (PARENT_ONLY.includes(ageBand)) return 'none';
  return PICTURES.includes(ageBand) ? 'pictures' : 'scale';
}
