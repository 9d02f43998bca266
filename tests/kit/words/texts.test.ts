import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { syllable } from 'syllable';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import type { UserError } from '../../../src/errors.js';
import { textsFor } from '../../../src/kit/words/texts-for.js';
import { TEXT_SHAPE, type TextSection, type Words } from '../../../src/kit/words/texts-shape.js';
import { fillIn, parseTexts, type Texts } from '../../../src/kit/words/texts.js';
import {
  dayInWords,
  lengthInWords,
  loudnessInWords,
  shareInWords,
} from '../../../src/kit/words/texts-words.js';
import { STEP_CHANGES } from '../../../src/plan/plan.js';
import { sampleTexts } from '../../helpers/sample-kit.js';

const FOLDER = path.resolve(import.meta.dirname, '../../../sounds-synth/texts');
const languages = readdirSync(FOLDER).map(file => path.basename(file, '.yaml'));
const english = (): Record<string, Record<string, unknown>> =>
  parse(readFileSync(path.join(FOLDER, 'en.yaml'), 'utf8')) as Record<
    string,
    Record<string, unknown>
  >;

test('there are texts, English among them', () => {
  expect(languages).toContain('en');
});

test.each(languages)('%s is complete and names its own language', language => {
  const texts = sampleTexts(language);
  expect(texts.language).toBe(language);
  expect(texts.review).toBe(language === 'en' ? 'source' : 'unreviewed');
  expect(texts.direction).toBe(language === 'ar' ? 'rtl' : 'ltr');
});

describe('a file that is not complete is refused with every key named', () => {
  const problemsOf = (parsed: unknown): string[] => {
    try {
      parseTexts(parsed, 'xx.yaml');
      return [];
    } catch (error) {
      return (error as UserError).problems.map(({ where }) => where);
    }
  };

  test('missing, empty, unknown, a lost place, a list that is none', () => {
    const file = english();
    delete file['common']!['title'];
    file['common']!['callUs'] = ' ';
    file['common']!['step'] = 'Step number';
    file['volume']!['steps'] = 'Turn it down.';
    file['about']!['lines'] = ['With a {place}'];
    file['page']!['extra'] = 'x';
    delete file['asleep']!['volume.steps'];
    file['asleep']!['guide.dayNumber'] = 'Night';
    file['asleep']!['page.theEnd'] = 'the end';
    file['more'] = {};
    (file as Record<string, unknown>)['direction'] = 'up';
    expect(problemsOf(file).sort()).toEqual(
      [
        'about.lines',
        'asleep.guide.dayNumber',
        'asleep.page.theEnd',
        'asleep.volume.steps',
        'common.callUs',
        'common.step',
        'common.title',
        'direction',
        'more',
        'page.extra',
        'volume.steps',
      ].map(key => `xx.yaml ${key}`),
    );
  });

  test.each([null, [], 'text', 7])('%j is no texts at all', parsed => {
    expect(problemsOf(parsed).length).toBeGreaterThan(100);
  });
});

test('a place without a value is a fault, not a hole in a sentence', () => {
  expect(fillIn('Step {number} of {count}', { number: 3, count: 9 })).toBe('Step 3 of 9');
  expect(() => fillIn('Step {number}', {})).toThrow('no value for {number}');
});

/** Lists whose points end a sentence that stands elsewhere, and that sentence. */
const LEADS = {
  'cautions.never': (words: Words) => words.cautions.neverTitle,
  'stopping.now': (words: Words) => words.stopping.nowTitle,
  'stopping.call': (words: Words) => words.asleep['stopping.callTitle'],
  'readme.before': (words: Words) => words.readme.beforeTitle,
};
const LISTED: readonly string[] = Object.keys(LEADS);

/**
 * Flesch-Kincaid grade (Kincaid et al. 1975): 0.39 words per sentence + 11.8 syllables per word
 * - 15.59. Syllables are counted by the independent package "syllable".
 */
describe('English is easy to read', () => {
  const { words } = sampleTexts('en');
  const asleepProse = [
    ...Object.entries(words.asleep)
      .filter(([key]) => !LISTED.includes(key))
      .flatMap(([, value]) => value)
      .map(text => text.replace(/\{dose\}/, '1%').replace(/\{\w+\}/g, '50'))
      .filter(text => /[.?!]$/.test(text)),
    ...(['cautions.never', 'stopping.now', 'stopping.call', 'readme.before'] as const).map(
      key => `${LEADS[key](words)} ${words.asleep[key].join(', ')}.`,
    ),
  ];
  // What a family reads as prose; titles and labels would only flatter the score.
  const prose = [
    ...words.about.lines,
    words.about.benefit,
    `${words.cautions.intro} ${words.cautions.items.join('; ')}.`,
    `${words.cautions.neverTitle} ${words.cautions.never.join(', ')}.`,
    ...words.cautions.safety,
    ...words.ready.items,
    ...words.volume.steps,
    words.volume.keep,
    ...words.marked['volume.steps'],
    words.marked['volume.keep'],
    ...words.marked['practice.steps'],
    words.marked['page.volumeCheck'],
    ...words.practice.steps,
    words.practice.missed,
    `${words.stopping.nowTitle} ${words.stopping.now.join(', ')}.`,
    words.stopping.after,
    `${words.stopping.callTitle} ${words.stopping.call.join(', ')}.`,
    words.stopping.emergency,
    words.guide.calendarLead,
    words.guide.scanDayLead,
    words.guide.logLead,
    words.guide.stickersLead,
    fillIn(words.guide.estimate, { expected: 60, low: 52, high: 68, dose: '1%' }),
    ...Object.values(words.changeExplained),
    ...Object.values(words.changePractice).map(text => fillIn(text, { number: 4 })),
    ...Object.values(words.cards)
      .flat()
      .filter(text => text.endsWith('.')),
    words.looks.explained,
    words.readme.open,
    words.readme.offline,
    `${words.readme.beforeTitle} ${words.readme.before.join('; ')}.`,
    words.readme.choice,
    words.readme.protection,
    words.readme.sharing,
    words.readme.discStop,
    ...asleepProse,
    ...[...Object.values(words.page), ...Object.values(words.log)]
      .flat()
      .filter(text => /[.?!]$/.test(text)),
  ];

  const measure = (texts: readonly string[]) => {
    const text = texts.join(' ').replace(/[“”"{}]/g, '');
    const sentences = text.split(/[.?!]+(?=\s|$)/).filter(part => /\p{L}/u.test(part)).length;
    const count = text.split(/\s+/).filter(part => /[\p{L}\p{N}]/u.test(part)).length;
    return {
      wordsPerSentence: count / sentences,
      grade: (0.39 * count) / sentences + (11.8 * syllable(text)) / count - 15.59,
    };
  };

  test('the formula gives the grade of a worked sentence', () => {
    // "The cat sat on the mat.": 6 words, 6 syllables: 0.39 x 6 + 11.8 - 15.59 = -1.45.
    expect(measure(['The cat sat on the mat.']).grade).toBeCloseTo(-1.45, 2);
  });

  test('the whole reads at grade 6 or lower, with fewer than 12 words in a sentence', () => {
    const { grade, wordsPerSentence } = measure(prose);
    expect(prose.length).toBeGreaterThan(60);
    expect(grade).toBeLessThanOrEqual(6);
    expect(wordsPerSentence).toBeLessThan(12);
  });

  test('what families of children scanned asleep read does so by itself', () => {
    const { grade, wordsPerSentence } = measure(asleepProse);
    expect(asleepProse.length).toBeGreaterThan(60);
    expect(grade).toBeLessThanOrEqual(6);
    expect(wordsPerSentence).toBeLessThan(12);
  });

  test('no sentence has more than 20 words; points of a list stand on lines of their own', () => {
    const all = Object.values(words).flatMap(section => Object.values(section).flat());
    const sentences = all.flatMap(text => text.split(/[.?!](?=\s|$)/));
    expect(sentences.length).toBeGreaterThan(200);
    expect(sentences.filter(sentence => sentence.trim().split(/\s+/).length > 20)).toEqual([]);
  });
});

test.each(languages)('%s has words for every change that a plan can make', language => {
  const { change, changeExplained, changePractice } = sampleTexts(language).words;
  expect(Object.keys(change).sort()).toEqual([...STEP_CHANGES].sort());
  expect(Object.keys(changeExplained).sort()).toEqual([...STEP_CHANGES].sort());
  for (const key of Object.keys(changePractice)) expect(STEP_CHANGES).toContain(key);
});

/** What CLDR has, read off its charts of unit patterns and dates; Arabic has six forms of plural. */
describe('plurals and dates follow the rules of each language', () => {
  test.each([
    ['es', 60, '1 minuto'],
    ['es', 120, '2 minutos'],
    ['fr', 60, '1 minute'],
    ['fr', 90, '1 minute et 30 secondes'],
    ['ar', 60, 'دقيقة'],
    ['ar', 120, 'دقيقتان'],
    ['ar', 180, '3 دقائق'],
    ['ar', 660, '11 دقيقة'],
    ['ar', 5, '5 ثوان'],
    ['ar', 20, '20 ثانية'],
  ])('%s: %d s is “%s”', (language, seconds, text) => {
    expect(lengthInWords(language, seconds).replace(/\u00a0|\u202f/g, ' ')).toBe(text);
  });

  test.each([
    ['en', 'Monday 14 June'],
    ['es', 'lunes, 14 de junio'],
    ['fr', 'lundi 14 juin'],
    ['ar', 'الاثنين، 14 يونيو'],
  ])('%s: 14 June 2027 is “%s”', (language, text) => {
    expect(dayInWords(language, '2027-06-14', 'long')).toBe(text);
  });

  test.each(languages)('%s writes all numbers with the digits 0 to 9', language => {
    const texts = sampleTexts(language);
    const written = [
      lengthInWords(language, 95),
      lengthInWords(language, 660, 'short'),
      dayInWords(language, '2027-06-14', 'short'),
      shareInWords(language, texts.words, 12.3),
      JSON.stringify(texts.words),
    ].join();
    expect(written).toMatch(/[0-9]/);
    expect(written).not.toMatch(/(?![0-9])\p{Nd}/u);
  });
});

test.each(languages.filter(language => language !== 'en'))(
  '%s says in its own words everything but names of files and numbers',
  language => {
    const english = leaves(sampleTexts('en').words);
    const other = leaves(sampleTexts(language).words);
    // Words that two languages share, such as "Guide", "Bluetooth" or "kit"; a sentence is never among them.
    const same = [...other].filter(([key, text]) => english.get(key) === text);
    for (const [key, text] of same) expect(text.split(' ').length, key).toBeLessThanOrEqual(3);
    expect(same.length).toBeLessThan(20);
    expect([...other.keys()].map(key => key.replace(/\[\d+\]$/, ''))).toEqual(
      expect.arrayContaining([...english.keys()].map(key => key.replace(/\[\d+\]$/, ''))),
    );
  },
);

/** Every string by its key. */
function leaves(words: Texts['words']): Map<string, string> {
  return new Map(
    Object.entries(words)
      .filter(([section]) => Object.hasOwn(TEXT_SHAPE, section))
      .flatMap(([section, keys]) =>
        Object.entries(keys as Record<string, string | readonly string[]>).flatMap(([key, value]) =>
          [value].flat().map((text, i): [string, string] => [`${section}.${key}[${i}]`, text]),
        ),
      ),
  );
}

describe.each(languages)('for children who are scanned asleep, in %s', language => {
  const texts = sampleTexts(language);

  test('what has a place elsewhere takes it, in other words; the rest stays', () => {
    const before = leaves(texts.words);
    const after = leaves(textsFor(texts, { preset: 'asleep', isMarked: false }).words);
    const replaced = Object.entries(texts.words.asleep).filter(([key]) => key.includes('.'));
    expect(replaced.length).toBeGreaterThan(70);
    for (const [path, value] of replaced) {
      for (const [i, text] of [value].flat().entries()) {
        expect(after.get(`${path}[${i}]`), path).toBe(text);
      }
      const [section, key] = path.split('.') as [TextSection, string];
      const others = (texts.words[section] as Record<string, string | readonly string[]>)[key];
      expect(others, path).toBeDefined();
      expect(others, path).not.toEqual(value);
    }
    const paths = new Set(replaced.map(([path]) => path));
    for (const [key, text] of before) {
      const path = key.replace(/\[\d+\]$/, '');
      if (!paths.has(path)) expect(after.get(key)).toBe(text);
    }
  });

  test('others read the texts as they are', () => {
    for (const preset of ['awake', 'sound-sensitive']) {
      expect(textsFor(texts, { preset, isMarked: false })).toBe(texts);
    }
  });
});

test.each(languages)(
  'where a device was measured, the volume is set to its mark, in %s',
  language => {
    const texts = sampleTexts(language);
    const { words } = textsFor(texts, { preset: 'awake', isMarked: true });
    expect(words.volume.steps).toEqual(texts.words.marked['volume.steps']);
    expect(words.volume.steps).not.toEqual(texts.words.volume.steps);
    expect(words.volume.keep).toBe(texts.words.marked['volume.keep']);
    // Nothing tells the family to set it by ear.
    expect(words.practice.steps).toEqual(texts.words.marked['practice.steps']);
    expect(words.page.volumeCheck).toBe(texts.words.marked['page.volumeCheck']);
    expect(words.page.volumeSet).toBe(texts.words.marked['page.volumeSet']);
    expect(words.readme.before).toEqual(texts.words.marked['readme.before']);
    expect(words.practice.missed).toBe(texts.words.practice.missed);
    // Over sleep a measurement changes nothing.
    const asleep = textsFor(texts, { preset: 'asleep', isMarked: true });
    expect(asleep.words.volume.steps).toEqual(texts.words.asleep['volume.steps']);
  },
);

describe('numbers in words', () => {
  const { words } = sampleTexts('en');

  test.each([
    [2, '5 seconds'],
    [22, '20 seconds'],
    [57, '55 seconds'],
    [58, '1 minute'],
    [87, '1 minute, 30 seconds'],
    [179, '3 minutes'],
    [290, '5 minutes'],
  ])('%d s is “%s”', (seconds, text) => {
    expect(lengthInWords('en', seconds)).toBe(text);
  });

  test('a day is named with its weekday, in any language with the digits 0 to 9', () => {
    expect(dayInWords('en', '2027-06-14', 'long')).toBe('Monday 14 June');
    expect(dayInWords('ar', '2027-06-14', 'long')).toContain('14');
  });

  test.each([
    [-18, 'Far softer than talk'],
    [-12, 'Much softer than talk'],
    [-6, 'Softer than talk'],
    [-3, 'A little softer than talk'],
    [0, 'About as loud as talk'],
    [3, 'A little louder than talk'],
    [6, 'Louder than talk'],
  ])('%d dB re talk is “%s”', (offsetDb, text) => {
    expect(loudnessInWords(words, offsetDb)).toBe(text);
  });

  test('a share is never rounded to nothing', () => {
    expect(shareInWords('en', words, 0.02)).toBe('less than 0.1%');
    expect(shareInWords('en', words, 0.57)).toBe('0.6%');
    expect(shareInWords('en', words, 58.3)).toBe('58%');
  });
});
