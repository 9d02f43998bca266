/** Recorded cues: what is refused and why, and what becomes of a good one. */
import { describe, expect, test } from 'vitest';
import { clipProblems, clipSound, type Recording } from '../../../src/kit/audio/cue-clip.js';
import { collect, SAMPLE_RATE_HZ } from '../../../src/signal/sound.js';
import { join, silence, sine } from '../../helpers/signals.js';
import { rms, speechLike, withSound } from '../../helpers/speech.js';

const RATE = 48_000;

const recording = (samples: Float64Array, sampleRateHz = RATE): Recording => ({
  file: 'cues/en/t1.wav',
  sampleRateHz,
  channels: [samples],
});

const found = (samples: Float64Array): string[] =>
  clipProblems(recording(samples)).map(({ found }) => found);

const SPEECH = speechLike(2, RATE);

/** As a 16-bit file holds it. */
const in16Bits = (samples: Float64Array): Float64Array =>
  samples.map(x => Math.max(-32_768, Math.min(32_767, Math.round(x * 32_768))) / 32_768);

test.each([
  ['speech', SPEECH],
  ['speech in 16 bits', in16Bits(SPEECH)],
  ['speech up to full scale, once', in16Bits(speechLike(2, RATE, { peak: 1 }))],
  ['soft speech', in16Bits(speechLike(2, RATE, { peak: 0.02 }))],
  ['a low tone, whose crests are round', in16Bits(sine(110, 2, RATE, { peak: 0.9 }))],
])('%s can be a cue', (_what, samples) => {
  expect(found(samples)).toEqual([]);
});

describe('is refused, with the reason:', () => {
  test.each([
    ['clipped at full scale', in16Bits(speechLike(2, RATE, { peak: 1.5 }))],
    [
      'clipped, then made softer',
      in16Bits(in16Bits(speechLike(2, RATE, { peak: 1.5 })).map(x => 0.5 * x)),
    ],
    [
      'clipped below full scale, as by an amplifier',
      SPEECH.map(x => Math.max(-0.35, Math.min(0.35, x))),
    ],
  ])('%s', (_what, samples) => {
    expect(found(samples)).toEqual([
      expect.stringMatching(/^\d+ crests cut off by too high a recording level$/),
    ]);
  });

  const sine150 = sine(150, 2, RATE);

  test('hum 20 dB below the speech, not hum 40 dB below it', () => {
    const hum = sine(50, 2, RATE).map((x, i) => x + sine150[i]!);
    expect(found(withSound(SPEECH, hum, -20))).toEqual([
      expect.stringMatching(/^hum of 50 Hz mains, (19|20|21) dB below the speech$/),
    ]);
    expect(found(withSound(SPEECH, hum, -40))).toEqual([]);
  });

  test('more than 5 s of speech, or hardly a word; silence around it does not count', () => {
    expect(found(speechLike(6, RATE))).toEqual([expect.stringMatching(/^[56]\.\d s of sound$/)]);
    expect(found(join(silence(2, RATE), speechLike(0.3, RATE), silence(2, RATE)))).toEqual([
      expect.stringMatching(/^0\.\d s of sound$/),
    ]);
    expect(found(join(silence(4, RATE), SPEECH, silence(4, RATE)))).toEqual([]);
  });

  test('silence, and nothing at all', () => {
    for (const samples of [silence(2, RATE), new Float64Array(0)]) {
      expect(found(samples)).toEqual(['hardly any sound']);
    }
  });

  test('everything at once', () => {
    const bad = withSound(speechLike(7, RATE), sine(60, 7, RATE), -15);
    const problems = clipProblems(recording(bad.map(x => Math.max(-0.4, Math.min(0.4, x)))));
    expect(problems).toHaveLength(3);
    for (const { where, fix } of problems) {
      expect(where).toBe('cues/en/t1.wav');
      expect(fix).not.toBe('');
    }
  });
});

describe('the cue of a recording', () => {
  const padded = join(silence(1.5, RATE), SPEECH, silence(2, RATE));

  test('is what is said, at our sample rate, without the silence around it', () => {
    const sound = clipSound(recording(padded));
    expect(sound.sampleRateHz).toBe(SAMPLE_RATE_HZ);
    // Up to 50 ms stay at each end; the last syllable's end is silent.
    expect(sound.length / SAMPLE_RATE_HZ).toBeGreaterThan(1.85);
    expect(sound.length / SAMPLE_RATE_HZ).toBeLessThanOrEqual(2.11);
    expect(Math.abs(rms(collect(sound)) / rms(SPEECH) - 1)).toBeLessThan(0.03);
  });

  test('starts and ends with nothing, over at least 50 ms', () => {
    const samples = collect(clipSound(recording(sine(200, 2, RATE))));
    const fade = 0.05 * SAMPLE_RATE_HZ;
    for (let i = 0; i < fade / 4; i++) {
      // A raised cosine is below 15 % in its first quarter.
      expect(Math.abs(samples[i]!)).toBeLessThan(0.15);
      expect(Math.abs(samples.at(-1 - i)!)).toBeLessThan(0.15);
    }
  });

  test('of two channels is their mean', () => {
    const both = { ...recording(SPEECH), channels: [SPEECH, SPEECH.map(x => 0.5 * x)] };
    expect(rms(collect(clipSound(both)))).toBeCloseTo(
      0.75 * rms(collect(clipSound(recording(SPEECH)))),
      6,
    );
  });
});
