/**
 * Every number that page, guide, reports and staff sheet of a kit show is a number of its manifest, in
 * the rounding of its text; and what matters stands in all of them.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Manifest } from '../../src/kit/manifest/manifest.js';
import { softknock, softknockJson, temporaryFolder } from '../helpers/cli.js';
import { readPdf } from '../helpers/read-pdf.js';

const folder = await temporaryFolder();

/** One scan, and a ceiling above the default. */
const STUDY = `softknock: 1
study: { name: Number study, contact: { phone: '+00 000 0000' } }
scanner: { MagneticFieldStrength: 3 }
scans:
  - { name: field, plainName: Star map, type: field-map-gradient-echo, Duration: 20 }
plan:
  ceiling: { laeqDba: 67, approvedBy: A. Udiologist, reason: calibrated room, date: '2027-01-05' }
`;

/** Of `kit`, without where it goes. */
const study = [path.join(folder, 'study.yaml'), '--age', '7', '--scan-date', '2027-07-20'];

let manifest: Manifest;
let place: string;
/** What people read, by what it is. */
const texts = new Map<string, string>();
let pageData: {
  readonly steps: readonly {
    readonly durationSeconds: number;
    readonly sounds: readonly { readonly startSeconds: number; readonly endSeconds: number }[];
  }[];
  readonly sessions: readonly { readonly day: number; readonly step: number; date: string }[];
};

beforeAll(async () => {
  writeFileSync(study[0]!, STUDY);
  const { out } = await softknock('kit', ...study, '--out', folder, '--staff');
  texts.set('report of kit', out);
  place = path.join(folder, /^Kit (\S+)/.exec(out)![1]!);
  manifest = JSON.parse(readFileSync(path.join(place, 'kit.json'), 'utf8')) as Manifest;
  const verified = await softknock('verify', place);
  expect(verified.err).toContain('67 dBA, above the default of 65 dBA');
  texts.set('report of verify', verified.out);
  texts.set('guide', (await readPdf(readFileSync(path.join(place, 'guide.pdf')))).text);
  const page = readFileSync(path.join(place, 'start-here.html'), 'utf8');
  const [, data] = /id="kit-data">([^]*?)<\/script>/.exec(page)!;
  pageData = JSON.parse(data!) as typeof pageData;
  // What is seen, and what the script puts in.
  const seen = page.replace(/<(style|script)\b[^]*?<\/\1>/g, ' ').replace(/<[^>]*>/g, ' ');
  texts.set('page', `${seen} ${data!}`);
  texts.set('readme', readFileSync(path.join(place, 'README.txt'), 'utf8'));
  texts.set('staff sheet', readFileSync(`${place}-for-staff/loudness.txt`, 'utf8'));
}, 120_000);

/** All numbers below keys that match, wherever they stand in the manifest. */
function numbersOf(key: RegExp, value: unknown = manifest, isBelow = false): number[] {
  if (typeof value === 'number') return isBelow ? [value] : [];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, inner]) =>
    numbersOf(key, inner, isBelow || key.test(name)),
  );
}

/** A number as it is printed, and half of its last digit. */
const halfDigit = (printed: string): number => 0.5 * 10 ** -(printed.split('.')[1] ?? '').length;

/** Printed numbers that come before a unit. */
const printedBefore = (text: string, unit: string): string[] =>
  [...text.matchAll(new RegExp(`(-?\\d+(?:\\.\\d+)?)\\s?${unit}`, 'g'))].map(
    ([, number]) => number!,
  );

/** Whether it is the rounding of some number: to its last digit, or to two digits when it is large. */
const isRoundingOf = (printed: string, numbers: readonly number[]): boolean =>
  numbers.some(
    number =>
      Math.abs(number - Number(printed)) <= halfDigit(printed) + 1e-9 ||
      Number(number.toPrecision(2)) === Number(printed),
  );

describe('levels', () => {
  test('every dBA is one of the manifest, or the usual ceiling', () => {
    // A class of headphones has its own limit in its name.
    const labels = manifest.playback.allTheWayUp.map(({ label }) => label);
    const levels = [
      ...numbersOf(/Dba$/),
      ...labels.flatMap(label => printedBefore(label, 'dBA')).map(Number),
      65,
    ];
    let count = 0;
    for (const [where, text] of texts) {
      for (const printed of printedBefore(text, 'dBA')) {
        expect(isRoundingOf(printed, levels), `${printed} dBA in the ${where}`).toBe(true);
        count += 1;
      }
    }
    expect(count).toBeGreaterThan(30);
  });

  test('the loudest step’s level, its low and its high end are the same in all', () => {
    const loudest = manifest.steps
      .map(({ estimatedLaeqDba }) => estimatedLaeqDba)
      .reduce((a, b) => (b.expected > a.expected ? b : a));
    const { low, expected, high } = loudest;
    const { asSet } = manifest.playback;
    expect([asSet.low.laeqDba, asSet.expected.laeqDba, asSet.high.laeqDba]).toEqual([
      low,
      expected,
      high,
    ]);
    const [a, b, c] = [low, expected, high].map(level => level.toFixed(0));
    expect(texts.get('guide')).toContain(`${b!} dBA`);
    expect(texts.get('guide')).toMatch(new RegExp(`${a!}\\s+to\\s+${c!}`));
    expect(texts.get('page')).toContain(`${b!} dBA`);
    expect(texts.get('page')).toContain(`${a!} to ${c!}`);
    expect(texts.get('report of kit')).toContain(`${b!} (${a!}-${c!})`);
    expect(texts.get('report of kit')).toContain(`${b!} dBA (${a!} to ${c!})`);
    expect(texts.get('staff sheet')).toContain(`${b!} dBA (${a!} to ${c!})`);
  });

  test('the raised ceiling stands wherever levels do, with who, when and why', () => {
    for (const [where, text] of texts) {
      if (where === 'readme') continue;
      expect(text.replace(/\s+/g, ' '), where).toContain('67 dBA');
      for (const word of ['A. Udiologist', 'calibrated room']) expect(text, where).toContain(word);
      expect(text, where).toMatch(/2027-01-05|5 January 2027/);
    }
  });

  test('verify measures what is stated, step by step and sound by sound', async () => {
    const report = await softknockJson<{
      readonly ceiling: Manifest['ceiling'];
      readonly voiceReference: { readonly laeqDbfs: number };
      readonly steps: readonly {
        readonly number: number;
        readonly sounds: readonly { offsetDb: number; measuredOffsetDb: number }[];
      }[];
    }>('verify', place);
    expect(report.ceiling).toEqual(manifest.ceiling);
    expect(report.steps.map(({ number }) => number)).toEqual(
      manifest.steps.map(({ number }) => number),
    );
    for (const [i, { sounds }] of report.steps.entries()) {
      expect(sounds.map(({ offsetDb }) => offsetDb)).toEqual(
        manifest.steps[i]!.sounds.map(({ offsetDb }) => offsetDb),
      );
      for (const { offsetDb, measuredOffsetDb } of sounds) {
        expect(Math.abs(measuredOffsetDb - offsetDb)).toBeLessThan(0.1);
      }
    }
    // The general meter says the same of the reference as the check of the kit.
    const measured = await softknockJson<{ files: { laeqDbfs: number }[] }>(
      'measure',
      path.join(place, manifest.voiceReference.file),
    );
    expect(measured.files[0]!.laeqDbfs).toBeCloseTo(report.voiceReference.laeqDbfs, 3);
    expect(Math.abs(measured.files[0]!.laeqDbfs - manifest.voiceReference.laeqDbfs)).toBeLessThan(
      0.1,
    );
  });
});

test('kit --json prints the manifest itself', async () => {
  const other = path.join(folder, 'other');
  const printed = await softknockJson('kit', ...study, '--out', other);
  expect(printed).toEqual(manifest);
}, 60_000);

test('--html is part of a preview, and a sound is written as WAV only', async () => {
  const page = await softknock('kit', ...study, '--html', path.join(folder, 'plan.html'));
  expect(page.status).toBe(2);
  expect(page.err).toContain('--html without --preview');
  const sound = path.join(folder, 'field.mp3');
  const rendered = await softknock('render', study[0]!, '--scan', 'field', '--out', sound);
  expect(rendered.status).toBe(2);
  expect(rendered.err).toContain('a name that ends in .wav');
});

describe('doses', () => {
  test('every percentage is one of the manifest', () => {
    const doses = numbersOf(/Percent$/);
    let count = 0;
    for (const [where, text] of texts) {
      for (const [, under, printed] of text.matchAll(/(less than |< )?(\d+(?:\.\d+)?) ?%/g)) {
        const fits =
          under === undefined
            ? isRoundingOf(printed!, doses)
            : doses.some(dose => dose < Number(printed));
        expect(fits, `${under ?? ''}${printed!} % in the ${where}`).toBe(true);
        count += 1;
      }
    }
    expect(count).toBeGreaterThan(25);
  });

  test('the busiest week’s is the same in guide, page, report and staff sheet', () => {
    const dose = manifest.playback.asSet.expected.weeklyDosePercent;
    expect(dose).toBeLessThan(0.1);
    for (const where of ['guide', 'page']) {
      expect(texts.get(where)!.replace(/\s+/g, ' ')).toContain('less than 0.1%');
    }
    const printed = dose < 0.01 ? '< 0.01 %' : `${Number(dose.toPrecision(2))} %`;
    for (const where of ['report of kit', 'staff sheet']) {
      expect(texts.get(where)!.replace(/\s+/g, ' ')).toContain(`the busiest week uses ${printed}`);
    }
  });
});

describe('times', () => {
  test('the page plays what the manifest says, when it says so', () => {
    expect(pageData.steps.map(({ durationSeconds }) => durationSeconds)).toEqual(
      manifest.steps.map(({ durationSeconds }) => durationSeconds),
    );
    for (const [i, { sounds }] of pageData.steps.entries()) {
      expect(sounds.map(({ startSeconds, endSeconds }) => [startSeconds, endSeconds])).toEqual(
        manifest.steps[i]!.sounds.map(({ startSeconds, endSeconds }) => [startSeconds, endSeconds]),
      );
    }
    expect(pageData.sessions.map(({ day, date, step }) => ({ day, date, step }))).toEqual(
      manifest.sessions.map(({ day, date, step }) => ({ day, date, step })),
    );
  });

  test('the report’s table has the steps of the manifest, row by row', () => {
    const rows = texts
      .get('report of kit')!
      .split('\n')
      .filter(line => /^ *\d+ {2}\d{4}-/.test(line))
      .map(line => line.trim().split(/ {2,}/));
    expect(rows).toHaveLength(manifest.steps.length);
    for (const [i, step] of manifest.steps.entries()) {
      const [number, firstDay, change, re, level, sounds, onset, length] = rows[i]!;
      const { low, expected, high } = step.estimatedLaeqDba;
      expect(Number(number)).toBe(step.number);
      expect(firstDay).toBe(manifest.sessions.find(s => s.step === step.number)!.date);
      expect(change).toBe(step.change);
      expect(Number.parseFloat(re!)).toBe(step.plannedOffsetDb);
      expect(level).toBe(`${expected.toFixed(0)} (${low.toFixed(0)}-${high.toFixed(0)})`);
      expect(Number(sounds)).toBe(step.sounds.length);
      expect(Number.parseFloat(onset!)).toBe(step.onsetSeconds);
      const [minutes, seconds] = length!.split(':').map(Number);
      expect(Math.abs(60 * minutes! + seconds! - step.durationSeconds)).toBeLessThanOrEqual(0.5);
    }
  });

  test('every length in guide and page is that of a step, a sound or a scan, to 5 s below a minute', () => {
    const lengths = [
      ...manifest.steps.flatMap(({ durationSeconds, sounds }) => [
        durationSeconds,
        ...sounds.map(({ startSeconds, endSeconds }) => endSeconds - startSeconds),
      ]),
      ...numbersOf(/^durationSeconds$/),
      // Of the interface itself: "upset for more than 15 minutes".
      15 * 60,
    ];
    let count = 0;
    for (const where of ['guide', 'page']) {
      const found = texts
        .get(where)!
        .matchAll(/(?:(\d+) min(?:ute)?s?(?:, | )?)?(?:(\d+) sec(?:ond)?s?)?/g);
      for (const [printed, minutes, seconds] of found) {
        if (printed.trim() === '') continue;
        const value = 60 * Number(minutes ?? 0) + Number(seconds ?? 0);
        const within = value < 60 ? 2.5 : value < 180 ? 5 : 30;
        expect(
          lengths.some(length => Math.abs(length - value) <= within),
          `${printed} in the ${where}`,
        ).toBe(true);
        count += 1;
      }
    }
    expect(count).toBeGreaterThan(20);
  });

  test('the guide has a row for every session, on its day', () => {
    const guide = texts.get('guide')!;
    const days = manifest.sessions.map(({ date }) => Number(date!.slice(8)));
    const printed = [...guide.matchAll(/(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun),? (\d+) \w{3}\b/g)];
    expect(printed.map(([, day]) => Number(day))).toEqual(days);
  });
});
