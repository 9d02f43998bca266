/** Cutting a sequence into segments changes nothing that is heard; what repeats is found. */
import { describe, expect, test } from 'vitest';
import type { Listening } from '../../src/acoustics/listening.js';
import { synthesiser } from '../../src/acoustics/synthesise.js';
import { parsePulseq } from '../../src/formats/pulseq/parse-pulseq.js';
import { PulseqGradients } from '../../src/gradients/pulseq-gradients.js';
import { playPulseq } from '../../src/gradients/pulseq-scan.js';
import { pulseqTimeline, type PulseqTimeline } from '../../src/gradients/pulseq-timeline.js';
import { timelineDurationSeconds } from '../../src/gradients/timeline.js';
import { seededRandom } from '../../src/signal/random.js';
import { collect } from '../../src/signal/sound.js';
import { gradientEchoSequence } from '../helpers/generated-sequence.js';
import { library } from '../helpers/study.js';
import { SILENT, TINY_1_5_1 } from '../helpers/tiny-sequences.js';

const listening: Listening = {
  response: library.responses.get('generic-3t')!,
  fieldStrength: 3,
  protection: undefined,
};

/** What cutting where the gradients rest may change of the sound, in dB re the whole: rounding. */
const QUIET_CUTS_DB = -120;

/** The same where they never rest and are faded into one another: a part in a thousand. */
const CUTS_DB = -60;

/**
 * What placing repeats to the nearest sample may change, in dB re the whole: half a sample is 0.14 rad
 * at 2 kHz, and far less at most places.
 */
const PLACING_DB = -26;

const gradientsOf = (text: string): PulseqGradients =>
  new PulseqGradients(parsePulseq(text, 'generated.seq'));

/** The sound of a timeline, and of all its corners at once in one segment. */
function heard(gradients: PulseqGradients, { timeline }: PulseqTimeline) {
  const { durationSeconds } = gradients;
  const block = gradients.stretch(0, durationSeconds);
  const whole = { segments: [{ durationSeconds, repeats: 1, layers: [{ block, gain: 1 }] }] };
  const { sound } = synthesiser(listening);
  return { cut: collect(sound(timeline)), whole: collect(sound(whole)) };
}

const rms = (samples: Float64Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);

function differenceDb(a: Float64Array, b: Float64Array): number {
  expect(a).toHaveLength(b.length);
  return 20 * Math.log10(rms(a.map((x, n) => x - b[n]!)) / rms(b));
}

describe('a sequence that never repeats', () => {
  const gradients = gradientsOf(gradientEchoSequence({ repetitions: 700, varied: true }));
  const timeline = pulseqTimeline(gradients);

  test('is cut into pieces of seconds that last as long as it', () => {
    const { segments } = timeline.timeline;
    expect(segments.length).toBeGreaterThan(2);
    for (const { durationSeconds, repeats } of segments) {
      expect(repeats).toBe(1);
      expect(durationSeconds).toBeLessThan(2.6);
    }
    expect(timelineDurationSeconds(timeline.timeline)).toBeCloseTo(gradients.durationSeconds, 9);
    expect(timeline.periodSeconds).toBeUndefined();
  });

  test('sounds as if it had not been cut', () => {
    const { cut, whole } = heard(gradients, timeline);
    expect(differenceDb(cut, whole)).toBeLessThan(QUIET_CUTS_DB);
  });

  test('keeps nothing: its waveforms are made anew each time they are asked for', () => {
    const [segment] = timeline.timeline.segments;
    expect(segment!.layers).not.toBe(segment!.layers);
    expect(segment!.layers).toEqual(segment!.layers);
  });
});

test('gradients that are on all the time are cut without a click', () => {
  const gradients = gradientsOf(continuousSequence());
  const timeline = pulseqTimeline(gradients);
  expect(timeline.timeline.segments.length).toBeGreaterThan(2);
  const { cut, whole } = heard(gradients, timeline);
  expect(differenceDb(cut, whole)).toBeLessThan(CUTS_DB);
});

describe('a sequence that repeats', () => {
  const repetitions = 900;
  const gradients = gradientsOf(gradientEchoSequence({ repetitions, varied: false }));
  const timeline = pulseqTimeline(gradients);

  test('is one segment played many times, with what comes before and after', () => {
    expect(timeline.periodSeconds).toBeCloseTo(gradients.durationSeconds / repetitions, 12);
    const repeated = timeline.timeline.segments.filter(({ repeats }) => repeats > 1);
    expect(repeated).toHaveLength(1);
    expect(repeated[0]!.repeats).toBeGreaterThan(repetitions - 12);
    expect(repeated[0]!.layers).toBe(repeated[0]!.layers);
    expect(timelineDurationSeconds(timeline.timeline)).toBeCloseTo(gradients.durationSeconds, 9);
  });

  test('sounds as if every repetition had been written out', () => {
    const { cut, whole } = heard(gradients, timeline);
    expect(differenceDb(cut, whole)).toBeLessThan(PLACING_DB);
  });
});

test('a period of a few milliseconds is found as it is, though several are played as one', () => {
  const gradients = gradientsOf(
    gradientEchoSequence({ repetitions: 900, repetitionSeconds: 0.0062 }),
  );
  const { timeline, periodSeconds } = pulseqTimeline(gradients);
  expect(periodSeconds).toBeCloseTo(0.0062, 12);
  const repeated = timeline.segments.filter(({ repeats }) => repeats > 1);
  expect(repeated.map(({ durationSeconds }) => durationSeconds)).toEqual([
    expect.closeTo(0.0124, 12),
  ]);
});

test('repetition inside a longer repetition is found by the longer one', () => {
  // Volumes of 20 equal shots and one other, 12 times: 2.5 s each.
  const shots = Array.from({ length: 12 * 21 }, (_, i) => (i % 21 === 20 ? 2 : 1));
  const gradients = gradientsOf(
    gradientEchoSequence({ repetitions: 0, shots, repetitionSeconds: 0.12 }),
  );
  const { periodSeconds } = pulseqTimeline(gradients);
  expect(periodSeconds).toBeCloseTo(21 * 0.12, 9);
});

test('a sequence without gradients is one silent segment, and has no tones', () => {
  const sequence = parsePulseq(SILENT, 'silent.seq');
  const { timeline, tones, rhythm } = playPulseq(sequence);
  expect(timelineDurationSeconds(timeline)).toBeCloseTo(0.5, 12);
  expect(timeline.segments.every(({ layers }) => layers.length === 0)).toBe(true);
  expect([tones, rhythm]).toEqual([[], []]);
  const samples = collect(synthesiser(listening).sound(timeline));
  expect(samples).toHaveLength(22_050);
  expect(samples.every(x => x === 0)).toBe(true);
});

describe('tones and rhythm', () => {
  test('come from excitations where a file says what pulses are for', () => {
    const text = gradientEchoSequence({
      repetitions: 300,
      varied: true,
      repetitionSeconds: 0.0125,
    });
    const { tones, rhythm } = playPulseq(parsePulseq(text, 'generated.seq'));
    expect(rhythm[0]!.hertz).toBeCloseTo(80, 6);
    expect(rhythm[0]!.cause).toBe('excitations, 1/12.5 ms');
    // A comb of 80 Hz: every tone is a multiple, and says which.
    expect(tones).toHaveLength(3);
    for (const { hertz, cause } of tones) {
      const multiple = Math.round(hertz / 80);
      expect(Math.abs(hertz / 80 - multiple)).toBeLessThan(0.02);
      expect(cause).toContain(`harmonic ${multiple} of excitations, ${multiple}/12.5 ms`);
    }
  });

  test('of a train of readouts are odd multiples of half its rate', () => {
    const text = gradientEchoSequence({ repetitions: 60, echoes: 40, repetitionSeconds: 0.064 });
    const { tones } = playPulseq(parsePulseq(text, 'generated.seq'));
    // Echoes 0.8 ms apart, alternating: 625 Hz.
    expect(Math.abs(tones[0]!.hertz / 625 - 1)).toBeLessThan(0.01);
    expect(tones[0]!.cause).toContain('readout, 1/(2 x 0.8 ms)');
  });

  test('a sequence of a few milliseconds has a tone, and no rhythm', () => {
    const { tones, rhythm } = playPulseq(parsePulseq(TINY_1_5_1, 'tiny.seq'));
    expect(tones.length).toBeGreaterThan(0);
    expect(rhythm).toEqual([]);
  });
});

/** Eight seconds of lines between random amplitudes on three axes, never at rest. */
function continuousSequence(): string {
  const random = seededRandom('continuous sequence');
  const blocks = 80;
  const points = 100;
  const shapes: string[] = [];
  const events: string[] = [];
  const rows: string[] = [];
  const last = [0, 0, 0];
  for (let block = 1; block <= blocks; block++) {
    for (const axis of [0, 1, 2]) {
      const id = 3 * block + axis;
      const values = Array.from({ length: points }, () => (random.uniform() - 0.5).toFixed(6));
      values[0] = last[axis]!.toFixed(6);
      last[axis] = Number(values.at(-1));
      const ends = [values[0], values.at(-1)].map(value => Number(value) * 1e6);
      shapes.push(`shape_id ${id}\nnum_samples ${points}\n${values.join('\n')}\n`);
      events.push(`${id} 1000000 ${ends.join(' ')} ${id} 1 0`);
    }
    rows.push(`${block} 9900 0 ${3 * block} ${3 * block + 1} ${3 * block + 2} 0 0`);
  }
  const times = Array.from({ length: points }, (_, i) => 100 * i).join('\n');
  return `[VERSION]
major 1
minor 5
revision 1
[DEFINITIONS]
GradientRasterTime 1e-05
RadiofrequencyRasterTime 1e-06
BlockDurationRaster 1e-05
[BLOCKS]
${rows.join('\n')}
[GRADIENTS]
${events.join('\n')}
[SHAPES]

shape_id 1
num_samples ${points}
${times}

${shapes.join('\n')}`;
}
