/** That kits of an approved study hold the words that were approved, and words that were read. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import {
  changedTexts,
  familyTexts,
  formatApprovedTexts,
  parseApprovedTexts,
  textsHash,
} from '../../../src/kit/words/approved-texts.js';
import { unreviewedProblems, withReview } from '../../../src/kit/words/text-review.js';
import { parseTexts, TEXT_KEYS, type Texts } from '../../../src/kit/words/texts.js';
import { refusal } from '../../helpers/refusal.js';
import { sampleTexts } from '../../helpers/sample-kit.js';

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

const STUDY = {
  name: 'Night Sky Study',
  guideNote: 'Bring a toy: "soft", [no] {metal} # here\n— و 🌙',
  scans: [{ name: 'localiser', plainName: 'First star', durationSeconds: 15 }],
};

/** Texts with one string changed, as a new version of the program might have it. */
function withWords(texts: Texts, section: string, key: string, value: unknown): Texts {
  const words = texts.words as unknown as Record<string, object>;
  return {
    ...texts,
    words: {
      ...words,
      [section]: { ...words[section], [key]: value },
    } as unknown as Texts['words'],
  };
}

describe('approved words', () => {
  const approved = familyTexts(sampleTexts(), STUDY);

  test.each(['en', 'es', 'fr', 'ar'])(
    'in %s come back from their file with the same hash',
    language => {
      const texts = familyTexts(sampleTexts(language), STUDY);
      const hash = textsHash(texts, sha256);
      const file = formatApprovedTexts(texts, hash);
      // Read by a library of its own, as anything else may read it.
      const parsed = parse(file) as {
        hash: string;
        language: string;
        texts: Record<string, string>;
      };
      expect(parsed.hash).toBe(hash);
      expect(parsed.texts).toEqual(Object.fromEntries(texts.texts));
      expect(textsHash(parseApprovedTexts(parsed, 'x.yaml'), sha256)).toBe(hash);
    },
  );

  test('hold every string once, points of lists one by one', () => {
    expect(approved.texts.get('volume.keep')).toBe(sampleTexts().words.volume.keep);
    expect(approved.texts.get('volume.steps[1]')).toBe(sampleTexts().words.volume.steps[0]);
    expect(approved.texts.get('scans.localiser')).toBe('First star');
    for (const key of TEXT_KEYS) {
      expect(approved.texts.has(key) || approved.texts.has(`${key}[1]`), key).toBe(true);
    }
  });

  test('have another hash for any other word, and the same one in any order', () => {
    const hash = textsHash(approved, sha256);
    const turned = { ...approved, texts: new Map([...approved.texts].reverse()) };
    expect(textsHash(turned, sha256)).toBe(hash);
    for (const key of ['study.name', 'volume.keep', 'about.lines[2]']) {
      const texts = new Map(approved.texts).set(key, `${approved.texts.get(key)!} `);
      expect(textsHash({ ...approved, texts }, sha256)).not.toBe(hash);
    }
    expect(textsHash({ ...approved, language: 'es' }, sha256)).not.toBe(hash);
  });

  test('that changed are named, with both wordings; so is what came and what went', () => {
    const { volume } = sampleTexts().words;
    const texts = withWords(sampleTexts(), 'volume', 'keep', 'Now turn it up.');
    const now = withWords(texts, 'volume', 'steps', volume.steps.slice(0, -1));
    const scans = [...STUDY.scans, { name: 't1', plainName: 'Moon', durationSeconds: 5 }];
    expect(
      changedTexts(approved, familyTexts(now, { ...STUDY, scans })).map(
        ({ where, found, allowed }) => [where, found, allowed],
      ),
    ).toEqual(
      [
        ['volume.steps[6]', 'now: nothing', `as approved: “${volume.steps.at(-1)!}”`],
        ['volume.keep', 'now: “Now turn it up.”', `as approved: “${volume.keep}”`],
        ['scans.t1', 'now: “Moon”', 'as approved: nothing'],
      ].sort(byPlace(approved.texts)),
    );
    expect(changedTexts(approved, approved)).toEqual([]);
  });

  test('of another language are one change, not hundreds', () => {
    const spanish = familyTexts(sampleTexts('es'), STUDY);
    expect(changedTexts(approved, spanish).map(({ where }) => where)).toEqual(['study.language']);
  });

  test.each([null, 'text', {}, { language: 'en' }, { language: 'en', texts: { a: 1 } }])(
    '%j is no file of approved words',
    parsed => {
      expect(refusal(() => parseApprovedTexts(parsed, 'x.yaml')).code).toBe('BAD_STUDY');
    },
  );
});

/** In the order of the approved strings; new ones last. */
const byPlace =
  (texts: ReadonlyMap<string, string>) =>
  ([a]: string[], [b]: string[]): number => {
    const keys = [...texts.keys()];
    const place = (key: string): number => (keys.includes(key) ? keys.indexOf(key) : Infinity);
    return place(a!) - place(b!);
  };

describe('review by a native speaker', () => {
  const review = { language: 'es', by: 'N. Speaker', date: '2027-01-02' } as const;

  test('a whole translation that nobody has read is one problem', () => {
    expect(unreviewedProblems(sampleTexts('en'))).toEqual([]);
    const [problem, ...others] = unreviewedProblems(sampleTexts('es'));
    expect(others).toEqual([]);
    expect(problem).toMatchObject({
      where: 'texts/es.yaml',
      found: `none of its ${TEXT_KEYS.length} strings reviewed`,
    });
  });

  test('a study clears its language by name, and no other', () => {
    expect(unreviewedProblems(withReview(sampleTexts('es'), review))).toEqual([]);
    expect(unreviewedProblems(withReview(sampleTexts('fr'), review))).toHaveLength(1);
  });

  test('single strings that were added since a review are named', () => {
    const file = path.resolve(import.meta.dirname, '../../../sounds-synth/texts/es.yaml');
    const parsed = parse(readFileSync(file, 'utf8')) as Record<string, unknown>;
    const partly = (except: unknown) =>
      parseTexts({ ...parsed, review: { status: 'reviewed', except } }, 'es.yaml');
    expect(
      unreviewedProblems(partly(['volume.keep', 'page.stop', 'page.goOn'])).map(
        ({ where, found }) => [where, found],
      ),
    ).toEqual([
      ['texts/es.yaml volume', 'not reviewed: keep'],
      ['texts/es.yaml page', 'not reviewed: stop, goOn'],
    ]);
    expect(refusal(() => partly(['volume.kep'])).problems[0]!.where).toBe('es.yaml review.except');
  });
});
