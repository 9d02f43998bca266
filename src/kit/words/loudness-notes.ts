/**
 * How loud a kit gets at home, in sentences for families: page and guide say the same.
 *
 * @module
 */
import { DEFAULT_CEILING_DBA } from '../../protocol/plan-settings.js';
import type { KitContent } from '../content.js';
import { inOwnDirection } from './isolate-direction.js';
import { dateInWords, shareInWords } from './texts-words.js';
import { fillIn, type Texts } from './texts.js';

/** How loud the loudest step comes out, as an interval, and what the busiest week amounts to. */
export function estimateInWords({ manifest }: KitContent, { words, language }: Texts): string {
  const loudest = manifest.steps.reduce((a, b) =>
    b.estimatedLaeqDba.expected > a.estimatedLaeqDba.expected ? b : a,
  ).estimatedLaeqDba;
  return fillIn(words.guide.estimate, {
    expected: Math.round(loudest.expected),
    low: Math.round(loudest.low),
    high: Math.round(loudest.high),
    dose: shareInWords(language, words, manifest.playback.asSet.expected.weeklyDosePercent),
  });
}

/** What stands wherever a level is shown if the ceiling is above the default; undefined if it is not. */
export function raisedInWords({ manifest }: KitContent, texts: Texts): string | undefined {
  const { laeqDba, raisedBy } = manifest.ceiling;
  if (raisedBy === null) return undefined;
  return fillIn(texts.words.guide.raised, {
    ceiling: laeqDba,
    usual: DEFAULT_CEILING_DBA,
    name: inOwnDirection(raisedBy.name, texts),
    date: dateInWords(texts.language, raisedBy.date),
    reason: inOwnDirection(raisedBy.reason, texts),
  });
}
