/** A whole kit, measured from its decoded files. */
import { beforeAll, describe, expect, test } from 'vitest';
import { readId3 } from '../../src/formats/id3.js';
import { decodeMp3 } from '../../src/formats/mp3-decoder.js';
import { parseSha256Sums } from '../../src/formats/sha256sums.js';
import { CODING_MARGIN_DB } from '../../src/kit/audio/levelled-sounds.js';
import { LOG_COLUMNS } from '../../src/practice/log-columns.js';
import { VOICE_DBA } from '../../src/levels/limits.js';
import { measureSound } from '../../src/levels/measure-sound.js';
import { weeklyDosePercent } from '../../src/levels/weekly-dose.js';
import { type Sound, soundOf } from '../../src/signal/sound.js';
import { type BuiltKit, buildSmallKit, sha256, smallInputs } from '../helpers/small-kit.js';

/** Coding changes a sound's level by less than this, in dB; 0.5 is what may be promised. */
const CODING_DB = 0.1;

/** The same for the FAST maximum of single thumps out of silence: 0.11 dB was measured. */
const CODING_FAST_DB = 0.2;

const INPUTS = smallInputs({}, { scanDate: '2027-06-14' });

let kit: BuiltKit;
beforeAll(async () => {
  kit = await buildSmallKit(INPUTS);
});

const textOf = (path: string): string => new TextDecoder().decode(kit.files.get(path));

async function decode(path: string): Promise<Sound> {
  const { sampleRateHz, channels } = await decodeMp3(kit.files.get(path)!);
  return soundOf(channels[0]!, sampleRateHz);
}

function levelsOf(sound: Sound, startSeconds: number, endSeconds: number) {
  const [samples] = [...sound.blocks()];
  const [start, end] = [startSeconds, endSeconds].map(s => Math.round(s * sound.sampleRateHz));
  return measureSound(soundOf(samples!.subarray(start, end), sound.sampleRateHz));
}

test('holds the files of a kit, checksums last', () => {
  const steps = kit.manifest.steps.map(({ file }) => file);
  expect(steps[0]).toBe('steps/step-01.mp3');
  expect(steps.length).toBeGreaterThan(11);
  expect(kit.order).toEqual([
    'voice-reference.mp3',
    ...steps,
    'playlist.m3u8',
    'start-here.html',
    'guide.pdf',
    'picture-card.pdf',
    'kit.json',
    'README.txt',
    'log.csv',
    'SHA256SUMS',
  ]);
});

describe('levels of the decoded files', () => {
  test('the voice reference has its level', async () => {
    const { laeqDbfs } = measureSound(await decode('voice-reference.mp3'));
    expect(Math.abs(laeqDbfs - kit.manifest.voiceReference.laeqDbfs)).toBeLessThan(CODING_DB);
  });

  test('each sound is at its offset from the voice reference, within its limits, in a file of the stated length', async () => {
    const voice = measureSound(await decode('voice-reference.mp3')).laeqDbfs;
    let sounds = 0;
    for (const step of kit.manifest.steps) {
      const decoded = await decode(step.file);
      expect(decoded.length / decoded.sampleRateHz).toBeCloseTo(step.durationSeconds, 4);
      for (const sound of step.sounds) {
        const levels = levelsOf(decoded, sound.startSeconds, sound.endSeconds);
        expect(Math.abs(levels.laeqDbfs - voice - sound.offsetDb)).toBeLessThan(CODING_DB);
        expect(Math.abs(levels.laeqDbfs - sound.laeqDbfs)).toBeLessThan(CODING_DB);
        expect(Math.abs(levels.lafmaxDbfs - voice - sound.lafmaxOffsetDb)).toBeLessThan(
          CODING_FAST_DB,
        );
        // Coding included, nothing passes the ceiling of 5 dB or its FAST maximum, not even by rounding.
        expect(levels.laeqDbfs - voice).toBeLessThanOrEqual(5);
        expect(levels.lafmaxDbfs - voice).toBeLessThanOrEqual(11);
        // Coding lifts a peak by up to 0.6 dB (measured with the six families).
        expect(levels.truePeakDbtp).toBeLessThanOrEqual(-3 + 1);
        sounds += 1;
      }
    }
    expect(sounds).toBeGreaterThan(30);
  });

  test('no step is more than 3 dB louder than the one before', () => {
    const loudest = kit.manifest.steps.map(({ sounds }) =>
      Math.max(...sounds.map(({ offsetDb }) => offsetDb)),
    );
    for (const [i, level] of loudest.entries()) {
      if (i > 0) expect(level - loudest[i - 1]!).toBeLessThanOrEqual(3.001);
    }
    expect(loudest[0]).toBe(-18);
    expect(loudest.at(-1)).toBe(5 - CODING_MARGIN_DB.laeq);
  });
});

describe('the manifest', () => {
  test('is what stands in kit.json', () => {
    expect(JSON.parse(textOf('kit.json'))).toEqual(kit.manifest);
  });

  test('names study, seed, version, plan and listener, and no family', () => {
    expect(kit.manifest).toMatchObject({
      study: 'Small study',
      seed: 'small-1',
      software: { name: 'softknock', version: '1.2.3' },
      approval: 'REF 1',
      ageBand: '7-9',
      listener: 'child',
      ceiling: { laeqDba: 65, raisedBy: null },
      plan: { scanDate: '2027-06-14', droppedSteps: 0 },
    });
    for (const [path, bytes] of kit.files) {
      if (path.endsWith('.mp3')) continue;
      expect(new TextDecoder().decode(bytes)).not.toMatch(/\bF1\b/);
    }
  });

  test('estimates the level at the child’s place from the loudest sound', () => {
    for (const { sounds, estimatedLaeqDba } of kit.manifest.steps) {
      const loudest = Math.max(...sounds.map(({ offsetDb }) => offsetDb));
      expect(estimatedLaeqDba.expected).toBeCloseTo(VOICE_DBA.expected + loudest, 2);
      expect(estimatedLaeqDba.low).toBeCloseTo(estimatedLaeqDba.expected - 8, 2);
      expect(estimatedLaeqDba.high).toBeCloseTo(estimatedLaeqDba.expected + 8, 2);
      expect(estimatedLaeqDba.high).toBeLessThanOrEqual(75);
    }
  });

  test('states the weekly dose of six sessions, and what 10 and 20 dB too loud would make of it', () => {
    const { sounds, weeklyDosePercent: dose } = kit.manifest.steps.at(-1)!;
    const once = weeklyDosePercent(
      sounds.map(({ offsetDb, startSeconds, endSeconds }) => ({
        levelDba: 60 + offsetDb,
        durationSeconds: endSeconds - startSeconds,
      })),
      'child',
    );
    // Six days of practice in seven; four digits are kept, of levels with two decimals.
    expect(dose.intended / (6 * once)).toBeCloseTo(1, 2);
    expect(dose.tenTooLoud / dose.intended).toBeCloseTo(10, 1);
    expect(dose.twentyTooLoud / dose.intended).toBeCloseTo(100, 0);
  });

  test('says which sound a limit holds back', () => {
    expect(kit.manifest.notes.join()).toMatch(/thump is up to \d+\.\d dB softer than planned/);
    const held = kit.manifest.steps.at(-1)!.sounds.find(({ scan }) => scan === 'thump')!;
    expect(held.offsetDb).toBeLessThan(4.8);
  });
});

describe('around the audio', () => {
  test('checksums are those of all other files, and the manifest has those of the audio', () => {
    const sums = parseSha256Sums(textOf('SHA256SUMS'))!;
    expect(sums.map(({ path }) => path).sort()).toEqual(
      [...kit.files.keys()].filter(path => path !== 'SHA256SUMS').sort(),
    );
    for (const { path, sha256: sum } of sums) expect(sha256(kit.files.get(path)!)).toBe(sum);
    for (const step of kit.manifest.steps) {
      expect(step.sha256).toBe(sha256(kit.files.get(step.file)!));
    }
  });

  test('tags carry title, number, kit and neutral gain, and nothing else', () => {
    const { frames } = readId3(kit.files.get('steps/step-02.mp3')!);
    const count = kit.manifest.steps.length;
    expect(frames.map(({ id, description, text }) => [id, description, text])).toEqual([
      ['TIT2', '', `Step 2 of ${count}`],
      ['TALB', '', `Getting used to the scanner sounds (${kit.manifest.kit})`],
      ['TRCK', '', `2/${count}`],
      ['TLAN', '', 'eng'],
      ['COMM', '', expect.any(String)],
      ['TXXX', 'KIT', kit.manifest.kit],
      ['TXXX', 'REPLAYGAIN_TRACK_GAIN', '0.00 dB'],
      ['TXXX', 'REPLAYGAIN_ALBUM_GAIN', '0.00 dB'],
    ]);
  });

  test('the playlist starts with the voice reference and lists every step', () => {
    const paths = textOf('playlist.m3u8')
      .split('\n')
      .filter(line => line !== '' && !line.startsWith('#'));
    expect(paths).toEqual(['voice-reference.mp3', ...kit.manifest.steps.map(({ file }) => file)]);
    for (const path of paths) expect(kit.files.has(path)).toBe(true);
  });

  test('the log is a header, and the readme explains each of its columns', () => {
    expect(textOf('log.csv')).toBe(
      'kit,step,date,time,volume_set,completed,child_rating,parent_rating,signs,stopped_by,interrupted,volume_touched,note\r\n',
    );
    const readme = textOf('README.txt');
    for (const name of LOG_COLUMNS) expect(readme).toContain(`\n  ${name} `);
    expect(readme).toContain(kit.manifest.kit);
    expect(readme).toContain('+00 000 0000');
    for (const line of readme.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });
});

describe('building again', () => {
  // Three days hold one step.
  const short = smallInputs({}, { scanDate: '2027-03-05' });
  let first: BuiltKit;
  beforeAll(async () => {
    first = await buildSmallKit(short);
  });

  test('the same inputs give the same bytes', async () => {
    const second = await buildSmallKit(short);
    expect([...second.files.keys()]).toEqual([...first.files.keys()]);
    for (const [path, bytes] of first.files) {
      expect(Buffer.compare(bytes, second.files.get(path)!)).toBe(0);
    }
  });

  test('another family with WAV files: another code, the same audio, a WAV beside each MP3', async () => {
    const family = { ...short.family, id: 'F2' };
    const { files, manifest } = await buildSmallKit({ ...short, family, wav: true });
    expect(manifest.kit).not.toBe(first.manifest.kit);
    const audio = (bytes: Uint8Array) => bytes.subarray(readId3(bytes).audioStart);
    for (const { file } of manifest.steps) {
      expect(Buffer.compare(audio(files.get(file)!), audio(first.files.get(file)!))).toBe(0);
      const wav = files.get(file.replace('.mp3', '.wav'))!;
      expect(new TextDecoder().decode(wav.subarray(0, 4))).toBe('RIFF');
    }
    const readme = new TextDecoder().decode(files.get('README.txt'));
    expect(readme.replace(/\s+/g, ' ')).toContain('also as WAV');
  });
});
