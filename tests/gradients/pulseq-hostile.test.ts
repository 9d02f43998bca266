/** Damaged Pulseq files: refused in words or played, never a crash, a hang, or memory for mere claims. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { UserError } from '../../src/errors.js';
import { parsePulseq } from '../../src/formats/pulseq/parse-pulseq.js';
import { playPulseq } from '../../src/gradients/pulseq-scan.js';
import { AXES, timelineDurationSeconds } from '../../src/gradients/timeline.js';
import { TINY_SEQUENCES, withExtensions } from '../helpers/tiny-sequences.js';

/** Far more than any of these files needs, on a busy machine. */
const LONGEST_MS = 3000;

/** Buffers that one file of a kilobyte may need at most, in bytes: the transforms of its lines. */
const MOST_BYTES = 60e6;

/** Longest prefix of a timeline whose waveforms are looked at, in segments. */
const SEGMENTS = 20;

const SEQUENCES = [
  ...TINY_SEQUENCES.map(([, text]) => text),
  withExtensions(`1 2 5 2
2 4 1 0
extension ROTATIONS 2
5 0.965926 0 0 0.258819
extension LABELSET 4
1 3 SLC
`),
];

/** Numbers that programs stumble over. */
const NASTY = [
  '0',
  '-0',
  '-1',
  '1e9',
  '999999998',
  '1000000000',
  '2147483648',
  '9007199254740993',
  '1e308',
  '-1e308',
  '1e-308',
  '0.5',
  'NaN',
  'Infinity',
  '0x10',
  '',
  '#',
  '[BLOCKS]',
  'extension',
  '\u0000',
  'é',
];

type Mutation = (text: string) => string;

const place = fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true });

/** One number, line or stretch changed, doubled, moved or lost. */
const mutation: fc.Arbitrary<Mutation> = fc.oneof(
  fc.tuple(place, fc.constantFrom(...NASTY)).map(([at, nasty]): Mutation => text => {
    const numbers = [...text.matchAll(/[^\s[\]#]+/g)];
    const chosen = numbers[Math.floor(at * numbers.length)];
    if (chosen === undefined) return text;
    return text.slice(0, chosen.index) + nasty + text.slice(chosen.index + chosen[0].length);
  }),
  fc.tuple(place, fc.integer({ min: 0, max: 300 })).map(([at, power]): Mutation => text => {
    // A number made larger or smaller by powers of ten.
    const numbers = [...text.matchAll(/\d+(\.\d+)?(?=\s)/g)];
    const chosen = numbers[Math.floor(at * numbers.length)];
    if (chosen === undefined) return text;
    const value = `${Number(chosen[0]) * 10 ** (power - 150)}`;
    return text.slice(0, chosen.index) + value + text.slice(chosen.index + chosen[0].length);
  }),
  place.map(
    (at): Mutation =>
      text =>
        text.slice(0, Math.floor(at * text.length)),
  ),
  fc.tuple(place, place).map(([from, to]): Mutation => text => {
    const [a, b] = [Math.floor(from * text.length), Math.floor(to * text.length)];
    return text.slice(0, Math.min(a, b)) + text.slice(Math.max(a, b));
  }),
  fc.tuple(place, place).map(([from, to]): Mutation => text => {
    const lines = text.split('\n');
    const [line] = lines.splice(Math.floor(from * lines.length), 1);
    lines.splice(Math.floor(to * lines.length), 0, line!);
    return lines.join('\n');
  }),
  fc.tuple(place, fc.integer({ min: 1, max: 2000 })).map(([at, times]): Mutation => text => {
    const lines = text.split('\n');
    const index = Math.floor(at * lines.length);
    lines.splice(index, 0, ...new Array<string>(times).fill(lines[index]!));
    return lines.join('\n');
  }),
);

test('a damaged file is refused in words, or played with finite waveforms in order', () => {
  let refused = 0;
  let played = 0;
  fc.assert(
    fc.property(
      fc.constantFrom(...SEQUENCES),
      fc.array(mutation, { minLength: 1, maxLength: 3 }),
      (text, mutations) => {
        const damaged = mutations.reduce((sum, mutate) => mutate(sum), text);
        const before = process.memoryUsage().arrayBuffers;
        const startMs = performance.now();
        try {
          checkPlayed(playPulseq(parsePulseq(damaged, 'damaged.seq')));
          played += 1;
        } catch (error) {
          if (!(error instanceof UserError)) throw error;
          refused += 1;
          expect(error.code).toBe('BAD_PROTOCOL');
          expect(error.problems.length).toBeGreaterThan(0);
          for (const { where } of error.problems) expect(where).toMatch(/^damaged\.seq:\d+/);
        }
        expect(performance.now() - startMs).toBeLessThan(LONGEST_MS);
        expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(MOST_BYTES);
      },
    ),
    { seed: 20, numRuns: 800 },
  );
  // Both sides of the property were met, often.
  expect(refused).toBeGreaterThan(200);
  expect(played).toBeGreaterThan(100);
});

function checkPlayed({ timeline, tones, rhythm }: ReturnType<typeof playPulseq>): void {
  const durationSeconds = timelineDurationSeconds(timeline);
  expect(durationSeconds).toBeGreaterThan(0);
  expect(durationSeconds).toBeLessThanOrEqual(3600);
  for (const { hertz } of [...tones, ...rhythm]) expect(hertz).toBeGreaterThan(0);
  for (const segment of timeline.segments.slice(0, SEGMENTS)) {
    for (const { block } of segment.layers) {
      for (const axis of AXES) {
        const { timesSeconds, amplitudes } = block[axis] ?? { timesSeconds: [], amplitudes: [] };
        let before = 0;
        let wrong = 0;
        for (let i = 0; i < timesSeconds.length; i++) {
          if (!(timesSeconds[i]! >= before && timesSeconds[i]! <= segment.durationSeconds + 1e-9))
            wrong += 1;
          // Two shapes at 1.001 of 1 T/m, turned into one axis.
          if (!(Math.abs(amplitudes[i]!) <= 1002 * Math.sqrt(3))) wrong += 1;
          before = timesSeconds[i]!;
        }
        expect(wrong).toBe(0);
      }
    }
  }
}
