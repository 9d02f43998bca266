/** Recorded cues from a folder, and what is said about bad ones. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { loadCues } from '../../src/io/load-cues.js';
import { SAMPLE_RATE_HZ } from '../../src/signal/sound.js';
import { softknock, temporaryFolder } from '../helpers/cli.js';
import { refusalOf } from '../helpers/refusal.js';
import { join, silence, sine } from '../helpers/signals.js';
import { speechLike, withSound } from '../helpers/speech.js';
import { NIGHT_SKY } from '../helpers/study.js';
import { floatWav } from '../helpers/wav-bytes.js';

const folder = await temporaryFolder();
const RATE = 16_000;

let count = 0;
/** A study's folder with clips for English. */
function studyFolder(files: Readonly<Record<string, Float64Array | Uint8Array>>): string {
  const study = path.join(folder, String((count += 1)));
  mkdirSync(path.join(study, 'cues/en'), { recursive: true });
  for (const [name, content] of Object.entries(files)) {
    const bytes = content instanceof Float64Array ? floatWav([content], RATE) : content;
    writeFileSync(path.join(study, 'cues/en', name), bytes);
  }
  return study;
}

const load = (studyFolder: string, language = 'en') =>
  loadCues({
    studyFolder,
    folder: 'cues/',
    language,
    scans: ['localiser', 't1'],
    where: 'study.yaml:9 cues.folder',
  });

const GOOD = {
  'localiser.wav': speechLike(1, RATE, { seed: 'a' }),
  't1.wav': join(silence(1, RATE), speechLike(2, RATE, { seed: 'b' }), silence(1, RATE)),
  'end.wav': speechLike(0.8, RATE, { seed: 'c' }),
};

test('good clips are read, cut and resampled', async () => {
  const clips = await load(studyFolder(GOOD));
  expect([...clips.keys()]).toEqual(['localiser', 't1', 'end']);
  for (const { sound, sha256 } of clips.values()) {
    expect(sound.sampleRateHz).toBe(SAMPLE_RATE_HZ);
    expect(sha256).toMatch(/^[0-9a-f]{64}$/);
  }
  expect(clips.get('t1')!.sound.length / SAMPLE_RATE_HZ).toBeLessThan(2.2);
});

test('everything that is wrong with any clip is said at once, with its file', async () => {
  const study = studyFolder({
    'localiser.wav': speechLike(1, RATE, { peak: 2 }).map(x => Math.max(-1, Math.min(1, x))),
    't1.wav': withSound(speechLike(7, RATE), sine(50, 7, RATE), -15),
    'end.wav': new TextEncoder().encode('not audio'),
  });
  const { code, problems } = await refusalOf(load(study));
  expect(code).toBe('BAD_STUDY');
  expect(problems.map(({ where, found }) => `${where}: ${found}`)).toEqual([
    expect.stringMatching(/^cues\/en\/localiser.wav: \d+ crests cut off/),
    expect.stringMatching(/^cues\/en\/t1.wav: hum of 50 Hz mains/),
    expect.stringMatching(/^cues\/en\/t1.wav: [67]\.\d s of sound$/),
    'cues/en/end.wav: a text file',
  ]);
});

test('a recording of an hour is not read to its end', async () => {
  const study = studyFolder({ ...GOOD, 't1.wav': new Float64Array(RATE * 61) });
  const { problems } = await refusalOf(load(study));
  expect(problems.map(({ where, found }) => [where, found])).toEqual([
    ['cues/en/t1.wav', 'more than 60 s'],
  ]);
});

describe('what is not there:', () => {
  test('a clip', async () => {
    const { 'localiser.wav': localiser, 'end.wav': end } = GOOD;
    const study = studyFolder({ 'localiser.wav': localiser, 'end.wav': end });
    const { problems } = await refusalOf(load(study));
    expect(problems.map(({ where }) => where)).toEqual(['cues/en/t1.wav']);
  });

  test('the folder of the language', async () => {
    const { problems } = await refusalOf(load(studyFolder(GOOD), 'fr'));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      where: 'study.yaml:9 cues.folder',
      found: 'no folder cues/fr',
    });
    expect(problems[0]!.allowed).toContain('localiser.wav, t1.wav, end.wav');
  });
});

test('a study whose cues are bad makes no kit: exit 2, with file and reason', async () => {
  const study = studyFolder({ 'end.wav': speechLike(1, RATE) });
  const file = path.join(study, 'study.yaml');
  writeFileSync(file, `${readFileSync(NIGHT_SKY, 'utf8')}\ncues: { folder: cues }\n`);
  const { status, err } = await softknock(
    'kit',
    file,
    '--age',
    '7',
    '--out',
    path.join(study, 'out'),
  );
  expect(status).toBe(2);
  expect(err).toContain('cues/en/localiser.wav');
  expect(err).toContain('cues/en/diffusion.wav');
});
