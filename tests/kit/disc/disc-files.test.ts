/** A kit's discs: the image by an independent reader, against the numbers of the Red Book; and verified. */
import { beforeAll, describe, expect, test } from 'vitest';
import wavefile from 'wavefile';
import { bytesSource } from '../../../src/formats/audio-stream.js';
import { parseCueSheet } from '../../../src/formats/cue-sheet.js';
import { UserError } from '../../../src/errors.js';
import { parseSha256Sums } from '../../../src/formats/sha256sums.js';
import { Findings } from '../../../src/kit/verify/findings.js';
import { verifyDisc } from '../../../src/kit/verify/verify-disc.js';
import { verifyKit } from '../../../src/kit/verify/verify-kit.js';
import { measureSound } from '../../../src/levels/measure-sound.js';
import { soundOf } from '../../../src/signal/sound.js';
import {
  type BuiltKit,
  buildSmallKit,
  readerOf,
  sha256,
  sha256Of,
  smallInputs,
} from '../../helpers/small-kit.js';

const IMAGE = 'disc/disc-1.wav';
const SHEET = 'disc/disc-1.cue';

let kit: BuiltKit;
let left: Float64Array;
let right: Float64Array;
beforeAll(async () => {
  // Two steps.
  kit = await buildSmallKit(smallInputs({}, { scanDate: '2027-03-06' }, { disc: true }));
  const wav = new wavefile.WaveFile(kit.files.get(IMAGE));
  [left, right] = wav.getSamples(false, Float64Array) as unknown as [Float64Array, Float64Array];
});

const textOf = (path: string): string => new TextDecoder().decode(kit.files.get(path));

describe('the image', () => {
  test('is as a CD has it, by another reader: 44.1 kHz, 16 bits, two channels', () => {
    const { fmt, container } = new wavefile.WaveFile(kit.files.get(IMAGE));
    expect(container).toBe('RIFF');
    expect(fmt).toMatchObject({
      audioFormat: 1,
      sampleRate: 44_100,
      bitsPerSample: 16,
      numChannels: 2,
      // 75 frames a second of 2352 bytes.
      byteRate: 75 * 2352,
    });
  });

  test('is whole frames of 588 samples and 2352 bytes, as many as the manifest says', () => {
    const { frames } = kit.manifest.discs[0]!;
    expect(left.length).toBe(frames * 588);
    expect(kit.files.get(IMAGE)!.length).toBe(44 + frames * 2352);
  });

  test('has the same in both channels, dithered: silence is noise of one step', () => {
    expect(left.length === right.length && left.every((code, i) => code === right[i])).toBe(true);
    const [voice, first] = kit.manifest.discs[0]!.tracks;
    const gap = left.subarray((voice!.startFrame + voice!.frames) * 588, first!.startFrame * 588);
    expect(gap.length).toBe(10 * 44_100);
    const levels = new Set(gap);
    expect([...levels].sort()).toEqual([-1, 0, 1]);
    // Triangular dither of ±1 step, rounded: power 1/6 + 1/12 of a step squared (Lipshitz and others, 1992).
    const power = gap.reduce((sum, code) => sum + code * code, 0) / gap.length;
    expect(Math.abs(power - 1 / 4)).toBeLessThan(0.005);
  });

  test('has each track at the frame of its sheet, at its level', () => {
    const sheet = parseCueSheet(textOf(SHEET));
    const { tracks } = kit.manifest.discs[0]!;
    expect(sheet.tracks.map(({ startFrame }) => startFrame)).toEqual(
      tracks.map(({ startFrame }) => startFrame),
    );
    const level = (startSeconds: number, endSeconds: number): number =>
      measureSound(
        soundOf(
          left
            .subarray(Math.round(startSeconds * 44_100), Math.round(endSeconds * 44_100))
            .map(code => code / 32_767),
        ),
      ).laeqDbfs;
    const reference = kit.manifest.voiceReference.laeqDbfs;
    expect(Math.abs(level(0, 30) - reference)).toBeLessThan(0.01);
    let sounds = 0;
    for (const { step, startFrame } of tracks.slice(1)) {
      for (const sound of kit.manifest.steps.find(({ number }) => number === step)!.sounds) {
        const atSeconds = startFrame / 75;
        const measured = level(atSeconds + sound.startSeconds, atSeconds + sound.endSeconds);
        // Dither and rounding of 16 bits lie 50 dB below the softest step.
        expect(Math.abs(measured - reference - sound.offsetDb)).toBeLessThan(0.01);
        sounds += 1;
      }
    }
    expect(sounds).toBe(5);
  });
});

test('the sheet names kit and steps, and lists the voice reference first', () => {
  expect(textOf(SHEET)).toContain(`(${kit.manifest.kit}) 1/1`);
  expect(parseCueSheet(textOf(SHEET))).toMatchObject({
    file: 'disc-1.wav',
    tracks: [{ title: 'Set the volume' }, { title: 'Step 1 of 2' }, { title: 'Step 2 of 2' }],
  });
  expect(kit.manifest.discs[0]!.tracks.map(({ step }) => step)).toEqual([null, 1, 2]);
});

test('the readme says what is on which track, and to press stop', () => {
  const words = textOf('README.txt').replace(/\s+/g, ' ');
  expect(words).toContain('disc-1');
  expect(words).toContain('Tracks 2 to 3 are steps 1 to 2');
  expect(words).toContain('press stop');
});

test('the same inputs give the same image; sums and manifest have its checksum', async () => {
  const again = await buildSmallKit(smallInputs({}, { scanDate: '2027-03-06' }, { disc: true }));
  const sum = sha256(kit.files.get(IMAGE)!);
  expect(sha256(again.files.get(IMAGE)!)).toBe(sum);
  expect(kit.manifest.discs[0]!.sha256).toBe(sum);
  expect(parseSha256Sums(textOf('SHA256SUMS'))).toContainEqual({ path: IMAGE, sha256: sum });
});

describe('verifying', () => {
  /** What is found wrong with the disc when files of it are others. */
  async function verify(changes: { image?: Uint8Array; sheet?: string; disc?: object }) {
    const findings = new Findings();
    await verifyDisc(
      { ...kit.manifest.discs[0]!, ...changes.disc },
      kit.manifest,
      {
        image: bytesSource(changes.image ?? kit.files.get(IMAGE)!),
        sheet: changes.sheet ?? textOf(SHEET),
      },
      {
        limits: { laeqDb: 5, lafmaxDb: 11, lcpeakDb: 42, shortDb: 15 },
        referenceDbfs: kit.manifest.voiceReference.laeqDbfs,
        voiceDba: 60,
        findings,
      },
    );
    return findings;
  }

  const wheres = ({ problems, unsafe }: Findings): string[] =>
    [...problems, ...unsafe].map(({ where }) => where);

  /** The image with its samples changed from a second on. */
  function imageFrom(second: number, change: (code: number, channel: number) => number) {
    const bytes = kit.files.get(IMAGE)!.slice();
    const view = new DataView(bytes.buffer);
    for (let at = 44 + second * 176_400; at < bytes.length; at += 2) {
      view.setInt16(at, change(view.getInt16(at, true), (at / 2) % 2), true);
    }
    return bytes;
  }

  test('a kit with its disc passes; without the image it does not', async () => {
    for (const gone of [[], [IMAGE]]) {
      const { problems, unsafe } = await verifyKit(
        readerOf(
          kit.manifest.kit,
          new Map([...kit.files].filter(([file]) => !gone.includes(file))),
        ),
        { sha256Of, absent: [] },
      );
      expect(unsafe).toEqual([]);
      expect(problems.map(({ where }) => where)).toEqual(gone);
    }
  });

  test.each([
    ['a track at another place', (s: string) => s.replace('01 00:40:00', '01 00:39:00')],
    ['another image', (s: string) => s.replace('disc-1.wav', 'other.wav')],
    ['no sheet', () => 'hello'],
  ])('a sheet with %s is found', async (_what, spoil) => {
    expect(wheres(await verify({ sheet: spoil(textOf(SHEET)) }))).toEqual([SHEET]);
  });

  test('steps that are 6 dB louder are found', async () => {
    const { problems, unsafe } = await verify({
      image: imageFrom(40, code => Math.max(-32_768, 2 * code)),
    });
    expect(problems.map(({ where }) => where)).toContain(`${IMAGE} step 1 hum`);
    expect(unsafe).toEqual([]);
  });

  test('steps above the ceiling are unsafe', async () => {
    const loud = (code: number): number => Math.max(-32_768, Math.min(32_767, 20 * code));
    const { unsafe } = await verify({ image: imageFrom(40, loud) });
    expect(unsafe.map(({ where }) => where)).toContain(`${IMAGE} step 1 hum`);
  });

  test('a channel of its own is found', async () => {
    const image = imageFrom(0, (code, channel) => (channel === 1 ? 0 : code));
    expect((await verify({ image })).unsafe.map(({ found }) => found)).toEqual([
      'another sound left than right',
    ]);
  });

  test('an image of another length, or that is none, is found', async () => {
    const image = kit.files.get(IMAGE)!;
    expect(wheres(await verify({ image: image.subarray(0, -2352) }))).toEqual([IMAGE]);
    await expect(verify({ image: new TextEncoder().encode('hello') })).rejects.toThrow(UserError);
  });

  test('a disc of more than 74 minutes is found', async () => {
    expect(wheres(await verify({ disc: { frames: 75 * 60 * 75 } }))).toEqual([SHEET, IMAGE]);
  });
});
