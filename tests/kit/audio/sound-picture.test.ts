import { describe, expect, test } from 'vitest';
import { BARS, drawnSound, HILLS, soundInWords } from '../../../src/kit/words/drawn-sound.js';
import { PICTURED_SECONDS, soundPicture } from '../../../src/kit/audio/sound-picture.js';
import { SAMPLE_RATE_HZ, type Sound, soundOf } from '../../../src/signal/sound.js';
import { sampleTexts } from '../../helpers/sample-kit.js';

const soundAt = (pressure: (t: number) => number): Sound =>
  soundOf(
    Float64Array.from({ length: PICTURED_SECONDS * SAMPLE_RATE_HZ }, (_, n) =>
      pressure(n / SAMPLE_RATE_HZ),
    ),
  );

const tone = (hertz: number, t: number): number => Math.sin(2 * Math.PI * hertz * t);

/** Third octaves from 100 Hz on: the place of the band with a middle of 10^(n/10) Hz is n - 20. */
const bandOf = (hertz: number): number => Math.round(10 * Math.log10(hertz)) - 20;

const highestBand = (spectrum: readonly number[]): number =>
  spectrum.indexOf(Math.max(...spectrum));

describe('the picture of a sound', () => {
  test.each([125, 1000, 5000])('of one tone of %d Hz has one hill, there', hertz => {
    const { spectrum } = soundPicture(
      'x',
      soundAt(t => tone(hertz, t)),
    );
    expect(spectrum).toHaveLength(20);
    expect(highestBand(spectrum)).toBe(bandOf(hertz));
    // Two bands away there is next to nothing: 0.1 is 33 dB less, window and A-weighting included.
    for (const [band, height] of spectrum.entries()) {
      if (Math.abs(band - bandOf(hertz)) > 1) expect(height).toBeLessThan(0.1);
    }
  });

  test('a tone 10 dB below another one is half as high, once the ear’s weighting is taken off', () => {
    // A-weighting: 0 dB at 1 kHz, +1.0 dB at 4 kHz (IEC 61672-1:2013, table 3).
    const amplitude = 10 ** (-11 / 20);
    const { spectrum } = soundPicture(
      'x',
      soundAt(t => 0.5 * (tone(1000, t) + amplitude * tone(3981.07, t))),
    );
    expect(spectrum[bandOf(1000)]).toBe(1);
    expect(spectrum[bandOf(4000)]).toBeCloseTo(0.5, 1);
  });

  test('of a beat of one second shows its pauses where they are, at any level', () => {
    const beat = (t: number): number => (t % 1.2 < 0.6 ? tone(800, t) : 0);
    const loud = soundPicture('x', soundAt(beat)).shape;
    expect(
      soundPicture(
        'x',
        soundAt(t => 1e-4 * beat(t)),
      ).shape,
    ).toEqual(loud);
    for (const [place, height] of loud.entries()) {
      // 120 ms a place, and half a place of window on both sides.
      const t = (place + 0.5) * 0.12;
      const into = t % 0.6;
      if (into > 0.12 && into < 0.48) expect(height).toBe(t % 1.2 < 0.6 ? 1 : 0);
    }
  });

  test('of silence is flat', () => {
    const { shape, spectrum } = soundPicture(
      'x',
      soundAt(() => 0),
    );
    expect(new Set([...shape, ...spectrum])).toEqual(new Set([0]));
  });

  test('of a sound shorter than the picture is still whole', () => {
    const short = soundOf(Float64Array.from({ length: 4410 }, (_, n) => tone(1000, n / 44_100)));
    const { shape } = soundPicture('x', short);
    expect(shape).toHaveLength(40);
    expect(Math.min(...shape)).toBeGreaterThan(0.9);
  });
});

describe('drawn', () => {
  const picture = soundPicture(
    'x',
    soundAt(t => tone(500, t) * Math.min(1, t)),
  );
  const { bars, hills, moon } = drawnSound(picture);

  test('has a bar for each place, and everything within its frame', () => {
    const lines = [...bars.matchAll(/M([\d.]+) ([\d.]+)v([\d.]+)/g)].map(match =>
      match.slice(1).map(Number),
    );
    expect(lines).toHaveLength(40);
    for (const [x, y, length] of lines) {
      expect(x!).toBeGreaterThan(BARS.line / 2);
      expect(x!).toBeLessThan(BARS.width - BARS.line / 2);
      // Round ends reach half a line further.
      expect(y! - BARS.line / 2).toBeGreaterThanOrEqual(-0.1);
      expect(y! + length! + BARS.line / 2).toBeLessThanOrEqual(BARS.height + 0.1);
    }
    const numbers = hills.match(/[\d.]+/g)!.map(Number);
    expect(Math.max(...numbers)).toBeLessThanOrEqual(HILLS.width);
    expect(moon.y - HILLS.moon).toBeGreaterThanOrEqual(0);
    // Over the 500 Hz band, the 8th of 20.
    expect(moon.x).toBeCloseTo((7 * HILLS.width) / 19, 0);
  });

  test('is named by how it comes and goes', () => {
    const texts = sampleTexts();
    const { looks } = texts.words;
    const nameOf = (pressure: (t: number) => number): string =>
      soundInWords(soundPicture('x', soundAt(pressure)), texts);
    expect(nameOf(t => tone(800, t))).toBe(looks.steady);
    expect(nameOf(t => tone(800, t) * (1 + 0.8 * tone(1, t)))).toBe(looks.waves);
    expect(nameOf(t => (t % 1 < 0.5 ? tone(800, t) : 0))).toBe(looks.pauses);
  });
});
