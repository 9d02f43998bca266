/** From the words that go to a board to a final kit, as a coordinator does it. */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { loadKitMaterial } from '../../src/io/kit-material.js';
import { loadStudy } from '../../src/io/load-study.js';
import { type SettledTexts, settleTexts } from '../../src/io/approved-study-texts.js';
import { softknock, softknockJson, temporaryFolder } from '../helpers/cli.js';
import { NIGHT_SKY } from '../helpers/study.js';

const folder = await temporaryFolder();
const STUDY = path.join(folder, 'study.yaml');

/** Writes the demo study in Spanish, changed by the replacements. */
function writeStudy(...changes: readonly (readonly [from: string, to: string])[]): void {
  let text = readFileSync(NIGHT_SKY, 'utf8').replace('language: en', 'language: es');
  for (const [from, to] of changes) {
    if (!text.includes(from)) throw new Error(`the demo study has no “${from}”`);
    text = text.replace(from, to);
  }
  writeFileSync(STUDY, text);
}

const REVIEW = [
  'texts:',
  'texts:\n  review: { language: es, by: N. Speaker, date: 2027-01-02 }',
] as const;

let hash: string;
const approval = (lines: string): readonly [string, string] => [
  'plan:',
  `approval: { reference: Board 7, date: 2027-02-03${lines} }\nplan:`,
];
const approved = (): readonly [string, string] =>
  approval(`, texts: approved-texts.yaml, textsHash: ${hash}`);

const build = () => softknock('kit', STUDY, '--scan-date', '2027-05-24', '--out', folder);

/** The words as a kit of the study gets them. */
async function settled(): Promise<SettledTexts> {
  const { file, scans } = await loadStudy(STUDY);
  const study = {
    name: file.study.name,
    guideNote: file.texts.guideNote,
    scans: scans.map(({ scan }) => scan),
  };
  const { texts } = await loadKitMaterial(file.study.language);
  return settleTexts(texts, study, file, STUDY);
}

beforeAll(async () => {
  writeStudy();
  const frozen = await softknockJson<{ hash: string; file: string }>('freeze', STUDY);
  expect(frozen.file).toBe(path.join(folder, 'approved-texts.yaml'));
  ({ hash } = frozen);
});

test('the words are written once, and what to add to the study file is printed', async () => {
  const { status, err } = await softknock('freeze', STUDY);
  expect(status).toBe(2);
  expect(err).toContain('not overwritten');
  const { out, err: notes } = await softknock('freeze', STUDY, '--out', 'again.yaml');
  expect(out).toContain(`textsHash: ${hash}`);
  expect(notes).toContain('not reviewed by a native speaker');
});

describe('a study with an approval', () => {
  test('builds nothing from a translation that nobody has read', async () => {
    writeStudy(approved());
    const { status, err } = await build();
    expect(status).toBe(2);
    expect(err).toContain('texts/es.yaml');
    expect(err).toContain('strings reviewed');
  });

  test('builds nothing when it does not say which words were approved', async () => {
    writeStudy(REVIEW, approval(''));
    expect((await build()).err).toContain('an approval that does not say of which words');
    writeStudy(REVIEW, approval(', texts: approved-texts.yaml'));
    expect((await build()).err).toContain('an approval without textsHash');
  });

  test('builds nothing from words that changed since, and shows both wordings', async () => {
    writeStudy(REVIEW, approved(), ['plainName: First star', 'plainName: First moon']);
    const { status, err } = await build();
    expect(status).toBe(2);
    expect(err).toContain('scans.localiser\n    found:   now: “First moon”');
    expect(err).toContain('as approved: “First star”');
    // The one string that changed, and no other.
    expect(err.match(/found:/g)).toHaveLength(1);
  });

  test('takes no other file for the approved one', async () => {
    const other = path.join(folder, 'other.yaml');
    const file = readFileSync(path.join(folder, 'approved-texts.yaml'), 'utf8');
    writeFileSync(other, file.replace('First star', 'First moon'));
    writeStudy(REVIEW, approval(`, texts: other.yaml, textsHash: ${hash}`), [
      'plainName: First star',
      'plainName: First moon',
    ]);
    const { err } = await build();
    expect(err).toContain('other.yaml with the hash');
    writeStudy(REVIEW, approval(`, texts: none.yaml, textsHash: ${hash}`));
    expect((await build()).err).toContain('none.yaml');
  });

  test('is final with reviewed and approved words', async () => {
    writeStudy(REVIEW, approved());
    const { texts, warnings } = await settled();
    expect(texts.unreviewed).toEqual([]);
    expect(texts.review).toBe('reviewed');
    expect(warnings).toEqual([]);
  });
});

test('a study without an approval may have a draft in a language that nobody has read', async () => {
  writeStudy();
  const { texts, warnings } = await settled();
  expect(texts.unreviewed.length).toBeGreaterThan(200);
  expect(warnings.join()).toContain('not reviewed by a native speaker');
});

test('a review of another language clears nothing, and the file says so', async () => {
  writeStudy(['texts:', 'texts:\n  review: { language: fr, by: N. Speaker, date: 2027-01-02 }']);
  const { status, err } = await build();
  expect(status).toBe(2);
  expect(err).toContain('a review of fr');
});
