/** Verifying a kit: a good one passes, every kind of damage is found. */
import { beforeAll, describe, expect, test } from 'vitest';
import { formatSha256Sums } from '../../../src/formats/sha256sums.js';
import { type Verification, verifyKit } from '../../../src/kit/verify/verify-kit.js';
import { bytesSource } from '../../../src/formats/audio-stream.js';
import { joinBytes } from '../../../src/formats/join-bytes.js';
import { openWav } from '../../../src/formats/wav.js';
import { wavBytes } from '../../../src/formats/wav-writer.js';
import { Findings } from '../../../src/kit/verify/findings.js';
import type { Manifest, ManifestStep } from '../../../src/kit/manifest/manifest.js';
import { measureAudio } from '../../../src/kit/verify/verify-audio.js';
import { checkGates } from '../../../src/kit/verify/verify-gates.js';
import { soundOf } from '../../../src/signal/sound.js';
import {
  type BuiltKit,
  buildSmallKit,
  readerOf,
  sha256,
  sha256Of,
  smallInputs,
} from '../../helpers/small-kit.js';

/** Files by path; undefined for one that is gone. */
type Changes = Readonly<Record<string, Uint8Array | string | undefined>>;

let kit: BuiltKit;
beforeAll(async () => {
  // Four steps suffice: they rise from -18 to -12 dB.
  kit = await buildSmallKit(smallInputs({}, { scanDate: '2027-03-08' }));
});

/** Verifies the kit with changes; with `resummed`, as if somebody had redone the checksums too. */
async function verify(changes: Changes = {}, options = { resummed: false, absent: [''].slice(1) }) {
  const files = new Map(kit.files);
  for (const [path, content] of Object.entries(changes)) {
    if (content === undefined) files.delete(path);
    else files.set(path, typeof content === 'string' ? new TextEncoder().encode(content) : content);
  }
  if (options.resummed) {
    files.delete('SHA256SUMS');
    const sums = [...files].map(([path, bytes]) => ({ path, sha256: sha256(bytes) }));
    files.set('SHA256SUMS', new TextEncoder().encode(formatSha256Sums(sums)));
  }
  return verifyKit(readerOf(kit.manifest.kit, files), { sha256Of, absent: options.absent });
}

const RESUMMED = { resummed: true, absent: [] };

const changedManifest = (change: (manifest: Manifest) => object): string =>
  JSON.stringify(change(structuredClone(kit.manifest)));

const wheres = ({ problems, unsafe }: Verification): string[] =>
  [...problems, ...unsafe].map(({ where }) => where);

test('a kit as it was built passes, and its levels were measured', async () => {
  const result = await verify();
  expect(result.problems).toEqual([]);
  expect(result.unsafe).toEqual([]);
  expect(result.notes).toEqual([]);
  expect(result.voiceLaeqDbfs).toBeCloseTo(kit.manifest.voiceReference.laeqDbfs, 1);
  expect(result.steps.map(({ number }) => number)).toEqual([1, 2, 3, 4]);
  for (const { sounds } of result.steps) {
    for (const { offsetDb, measuredOffsetDb } of sounds) {
      expect(Math.abs(offsetDb - measuredOffsetDb)).toBeLessThan(0.1);
    }
  }
});

test('kits over sleep, and of a study with a ceiling below talk, pass too', async () => {
  for (const plan of [{ asleep: true }, { ceiling: { laeqDba: 45 } }]) {
    // On a disc too, where the voice reference is a track of the same file.
    const { files, manifest } = await buildSmallKit(
      smallInputs(plan, { scanDate: '2027-03-05' }, { disc: true }),
    );
    expect(manifest.discs).toHaveLength(1);
    expect(manifest.playback.words[0]).toContain(
      'the loudest sound, the voice reference, is about',
    );
    const result = await verifyKit(readerOf(manifest.kit, files), { sha256Of, absent: [] });
    expect(result.problems).toEqual([]);
    expect(result.unsafe).toEqual([]);
    expect(result.steps.length).toBeGreaterThan(0);
  }
});

test('a log that was written in, and files that systems leave, are as they should be', async () => {
  const result = await verify({
    'log.csv': 'kit,step\r\nx,1\r\n',
    '.DS_Store': 'x',
    'steps/Thumbs.db': 'x',
  });
  expect(result.problems).toEqual([]);
  expect(result.notes).toEqual(['log.csv has been written in.']);
});

describe('files', () => {
  test('everything that is missing, changed or foreign is found at once', async () => {
    const result = await verify({
      'steps/step-02.mp3': undefined,
      'guide.pdf': undefined,
      'start-here.html': '<p>changed</p>',
      'README.txt': '',
      'steps/step-99.mp3.exe': 'x',
    });
    expect(wheres(result).sort()).toEqual([
      'README.txt',
      'guide.pdf',
      'start-here.html',
      'steps/step-02.mp3',
      'steps/step-99.mp3.exe',
    ]);
  });

  test('checksums and manifest that are missing are found', async () => {
    expect(wheres(await verify({ SHA256SUMS: undefined, 'kit.json': undefined })).sort()).toEqual([
      'SHA256SUMS',
      'kit.json',
    ]);
  });

  test.each(['hello', ''])('checksums and a manifest that hold %j are found', async text => {
    const where = wheres(await verify({ SHA256SUMS: text, 'kit.json': text }));
    expect(where).toContain('SHA256SUMS');
    expect(where).toContain('kit.json');
  });
});

describe('audio, even with checksums redone', () => {
  test('a step with the sounds of a louder one is found', async () => {
    const result = await verify(
      { 'steps/step-01.mp3': kit.files.get('steps/step-04.mp3')! },
      RESUMMED,
    );
    expect(wheres(result)).toContain('steps/step-01.mp3 hum');
  });

  test('a voice reference that is too soft is found: everything after it would be set too loud', async () => {
    const result = await verify(
      { 'voice-reference.mp3': kit.files.get('steps/step-01.mp3')! },
      RESUMMED,
    );
    expect(wheres(result)).toContain('voice-reference.mp3');
  });

  test('a file that is no MP3 is found', async () => {
    expect(wheres(await verify({ 'steps/step-02.mp3': 'hello' }, RESUMMED))).toContain(
      'steps/step-02.mp3',
    );
  });

  test('a manifest that hides a louder step does not make it safe', async () => {
    const manifest = changedManifest(m => ({ ...m, ceiling: { laeqDba: 40, raisedBy: null } }));
    const result = await verify({ 'kit.json': manifest }, RESUMMED);
    expect(result.unsafe.length).toBeGreaterThan(0);
    expect(result.unsafe.map(({ allowed }) => allowed)).toContain('at most -20.0 dB');
  });

  test('a manifest cannot allow itself a higher ceiling', async () => {
    const manifest = changedManifest(m => ({
      ...m,
      ceiling: { laeqDba: 90, raisedBy: { name: 'x', reason: 'x', date: '2027-01-01' } },
    }));
    const result = await verify({ 'kit.json': manifest }, RESUMMED);
    expect(result.unsafe[0]!.found).toContain('90 dBA');
  });

  test('a step whose sounds start faster than it says is found', async () => {
    const manifest = changedManifest(m => ({
      ...m,
      steps: m.steps.map(step => ({ ...step, onsetSeconds: 8 })),
    }));
    const { unsafe } = await verify({ 'kit.json': manifest }, RESUMMED);
    expect(unsafe.map(({ found }) => found).join()).toContain('louder than its fade may let');
    const none = changedManifest(m => ({
      ...m,
      steps: m.steps.map(step => ({ ...step, onsetSeconds: 0.01 })),
    }));
    expect((await verify({ 'kit.json': none }, RESUMMED)).unsafe[0]).toMatchObject({
      found: 'fades of 0.01 s',
      allowed: 'at least 0.05 s',
    });
  });

  test('more minutes than a day or a week may have are found, and steps that are not there', async () => {
    const [session] = kit.manifest.sessions;
    const manifest = changedManifest(m => ({
      ...m,
      sessions: [...new Array<unknown>(1000).fill(session), { ...session, step: 99 }],
    }));
    const { unsafe, problems } = await verify({ 'kit.json': manifest }, RESUMMED);
    expect(unsafe.map(({ allowed }) => allowed)).toEqual([
      'up to 20 minutes a day',
      'up to 120 minutes a week',
    ]);
    expect(problems.map(({ found }) => found)).toContain('step 99');
  });

  test('what lies between sounds is measured, and counts among the minutes', async () => {
    const manifest = changedManifest(m => ({
      ...m,
      steps: m.steps.map(step => {
        const startSeconds = step.sounds.at(-1)!.endSeconds;
        // The closing cue and silence are not so loud, nor are they so long.
        const table = { kind: 'table-motion', startSeconds, endSeconds: 1500, offsetDb: -10 };
        return { ...step, interludes: [table] };
      }),
    }));
    const { unsafe, problems } = await verify({ 'kit.json': manifest }, RESUMMED);
    expect(problems.map(({ where }) => where)).toContain('steps/step-01.mp3 table-motion');
    expect(unsafe.map(({ allowed }) => allowed)).toContain('up to 20 minutes a day');
  });

  describe('a manifest cannot state what its sounds do not bear out:', () => {
    const quiet = { low: 10, expected: 20, high: 30 };
    const steps = (change: (step: ManifestStep) => object) => (m: Manifest) => ({
      ...m,
      steps: m.steps.map(step => ({ ...step, ...change(step) })),
    });
    test.each<[string, (manifest: Manifest) => object, string]>([
      ['levels', steps(() => ({ estimatedLaeqDba: quiet })), 'estimatedLaeqDba'],
      [
        'doses',
        steps(() => ({ weeklyDosePercent: { intended: 0, tenTooLoud: 0, twentyTooLoud: 0 } })),
        'weeklyDosePercent',
      ],
      [
        'how loud the reference is',
        m => ({ ...m, voiceReference: { ...m.voiceReference, assumedDba: quiet } }),
        'voiceReference.assumedDba',
      ],
      [
        'what a week amounts to',
        m => ({ ...m, playback: { ...m.playback, tenTooLoud: m.playback.asSet.low } }),
        'playback',
      ],
      ['a grown listener', m => ({ ...m, listener: 'adult' }), 'listener'],
      ['files', steps(() => ({ sha256: '0'.repeat(64) })), 'steps/step-01.mp3'],
      [
        'short maxima',
        steps(step => ({ sounds: step.sounds.map(s => ({ ...s, lafmaxOffsetDb: -40 })) })),
        'steps/step-01.mp3 hum',
      ],
    ])('%s', async (_what, change, where) => {
      const result = await verify({ 'kit.json': changedManifest(change) }, RESUMMED);
      expect(wheres(result).join()).toContain(where);
    });

    test('nor leave out a sound that is louder than talk', async () => {
      const loud = await buildSmallKit(smallInputs({}, { scanDate: '2027-04-08' }));
      const last = loud.manifest.steps.at(-1)!;
      expect(last.sounds.length).toBeGreaterThan(1);
      const only = last.sounds.toSorted((a, b) => a.offsetDb - b.offsetDb).slice(0, 1);
      const manifest = {
        ...loud.manifest,
        steps: [...loud.manifest.steps.slice(0, -1), { ...last, sounds: only }],
      };
      const files = new Map(loud.files);
      files.set('kit.json', new TextEncoder().encode(JSON.stringify(manifest)));
      const tools = { sha256Of, absent: [] };
      const { unsafe } = await verifyKit(readerOf(loud.manifest.kit, files), tools);
      expect(unsafe.map(({ found }) => found).join()).toContain('that kit.json does not list');
    });
  });

  test('a second channel of its own is found, since only the first is measured', async () => {
    const sound = soundOf(new Float64Array(44_100).fill(0.1));
    const wav = joinBytes([...wavBytes(sound, { seed: 'x', channels: 2 })]);
    const view = new DataView(wav.buffer);
    for (let at = 46; at < wav.length; at += 4) view.setInt16(at, 30_000, true);
    const measured = await measureAudio(openWav(bytesSource(wav), 'x.wav'), []);
    const findings = new Findings();
    checkGates(
      'x.wav',
      measured,
      -25,
      { laeqDb: 5, lafmaxDb: 11, lcpeakDb: 42, shortDb: 15 },
      findings,
      60,
    );
    expect(findings.unsafe.map(({ found }) => found)).toContain('another sound left than right');
  });

  test('a raised ceiling is named, with who approved it', async () => {
    const raisedBy = { name: 'A. Udiologist', reason: 'calibrated', date: '2027-01-05' };
    const manifest = changedManifest(m => ({ ...m, ceiling: { laeqDba: 67, raisedBy } }));
    const { unsafe, notes } = await verify({ 'kit.json': manifest }, RESUMMED);
    expect(unsafe).toEqual([]);
    expect(notes.join()).toContain('67 dBA, above the default of 65 dBA');
    expect(notes.join()).toContain('A. Udiologist on 2027-01-05 (calibrated)');
  });

  test('a step more than 3 dB louder than the one before is found', async () => {
    const levels = kit.manifest.steps.map(({ plannedOffsetDb }) => plannedOffsetDb);
    expect(levels).toEqual([-18, -18, -15, -12]);
    const manifest = changedManifest(m => ({ ...m, steps: [m.steps[1], m.steps[3]] }));
    const { unsafe } = await verify({ 'kit.json': manifest }, RESUMMED);
    expect(unsafe.map(({ where, found }) => [where, found])).toEqual([
      ['steps/step-04.mp3', '6.0 dB louder than the step before'],
    ]);
  });
});

describe('privacy', () => {
  test('a word that must be absent is found where it stands', async () => {
    const result = await verify({ 'README.txt': 'For Anna' }, { resummed: true, absent: ['anna'] });
    expect(result.problems).toContainEqual(
      expect.objectContaining({ where: 'README.txt', found: 'the word "anna"' }),
    );
  });

  test('a code with a mistake is found', async () => {
    const manifest = changedManifest(m => ({ ...m, kit: `${m.kit.slice(0, -1)}?` }));
    expect(wheres(await verify({ 'kit.json': manifest }, RESUMMED))).toContain('kit.json kit');
  });
});
