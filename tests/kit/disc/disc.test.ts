/** How steps lie on discs. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { discSheet, discSound, layoutDiscs } from '../../../src/kit/disc/disc.js';
import { collect, SAMPLE_RATE_HZ, soundOf } from '../../../src/signal/sound.js';

const MINUTE = 60 * SAMPLE_RATE_HZ;
const VOICE = 30 * SAMPLE_RATE_HZ;

test('the voice reference comes first, then a track a step, with 10 s between them', () => {
  const [disc, ...others] = layoutDiscs(VOICE, [MINUTE, MINUTE]);
  expect(others).toEqual([]);
  expect(disc).toEqual({
    tracks: [
      { sound: null, startFrame: 0, frames: 30 * 75 },
      { sound: 0, startFrame: 40 * 75, frames: 60 * 75 },
      { sound: 1, startFrame: 110 * 75, frames: 60 * 75 },
    ],
    frames: 170 * 75,
  });
});

test('a track ends with a whole frame', () => {
  const [disc] = layoutDiscs(VOICE + 1, [MINUTE - 1]);
  expect(disc!.tracks.map(({ frames }) => frames)).toEqual([30 * 75 + 1, 60 * 75]);
});

test('what does not fit goes to the next disc, which has its own voice reference', () => {
  const discs = layoutDiscs(
    VOICE,
    Array.from({ length: 12 }, () => 12 * MINUTE),
  );
  // 6 x (12 min 10 s) + 30 s = 73.5 min; a seventh would end at 85.7 min.
  expect(discs.map(({ tracks }) => tracks.map(({ sound }) => sound))).toEqual([
    [null, 0, 1, 2, 3, 4, 5],
    [null, 6, 7, 8, 9, 10, 11],
  ]);
});

test('any steps lie in order on discs of at most 99 tracks and 74 minutes, 4 s at least each', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 1, max: 20 * MINUTE }), { minLength: 1, maxLength: 250 }),
      sounds => {
        const discs = layoutDiscs(VOICE, sounds);
        expect(
          discs.flatMap(({ tracks }) => tracks.map(({ sound }) => sound)).filter(s => s !== null),
        ).toEqual(sounds.map((_, i) => i));
        for (const { tracks, frames } of discs) {
          expect(tracks[0]!.sound).toBeNull();
          expect(tracks.length).toBeLessThanOrEqual(99);
          expect(frames).toBeLessThanOrEqual(74 * 60 * 75);
          for (const [i, { startFrame, frames }] of tracks.entries()) {
            expect(frames).toBeGreaterThanOrEqual(4 * 75);
            const next = tracks[i + 1];
            if (next !== undefined) expect(next.startFrame - startFrame - frames).toBe(750);
          }
        }
      },
    ),
    { seed: 1, numRuns: 50 },
  );
});

test('100 short steps take two discs', () => {
  const discs = layoutDiscs(
    VOICE,
    Array.from({ length: 100 }, () => 5 * SAMPLE_RATE_HZ),
  );
  expect(discs.map(({ tracks }) => tracks.length)).toEqual([99, 3]);
});

test('a sound of more than a disc is refused', () => {
  expect(() => layoutDiscs(VOICE, [74 * MINUTE])).toThrow('a disc holds 74 min');
});

describe('image and sheet', () => {
  const layout = layoutDiscs(5 * SAMPLE_RATE_HZ, [5 * SAMPLE_RATE_HZ + 7])[0]!;
  const constant = (value: number, length: number) => soundOf(new Float64Array(length).fill(value));

  test('the image has each sound where the sheet says, and silence elsewhere', () => {
    const samples = collect(
      discSound(layout, constant(0.25, 5 * SAMPLE_RATE_HZ), [
        constant(0.5, 5 * SAMPLE_RATE_HZ + 7),
      ]),
    );
    expect(samples).toHaveLength(layout.frames * 588);
    const at = (second: number): number => samples[Math.round(second * SAMPLE_RATE_HZ)]!;
    expect([0, 4.999, 5.001, 14.999, 15.001, 20].map(at)).toEqual([0.25, 0.25, 0, 0, 0.5, 0.5]);
    expect(samples.at(-1)).toBe(0);
  });

  test('the sheet has a pause before each track but the first', () => {
    const sheet = discSheet(layout, { title: 'T', file: 'f.wav', titleOf: String });
    expect(sheet).toEqual({
      title: 'T',
      file: 'f.wav',
      tracks: [
        { title: 'null', pauseFrame: 0, startFrame: 0 },
        { title: '0', pauseFrame: 5 * 75, startFrame: 15 * 75 },
      ],
    });
  });
});
