/**
 * Every open Pulseq file beside the project, against what an independent reader computed from it
 * (facts-seq.json) and what the files state themselves.
 *
 * That reader had two faults, found by reading the files; where they show, the test says so:
 * - it left ROTATIONS out, so those files are compared without their rotations here (the rotation is
 *   tested by itself in pulseq-gradients.test.ts);
 * - it took shapes of version 1.3.1 whose stored count is their length as plain, which they are only
 *   from 1.4 on. In `KomaMRI__v1p3_spiral.seq` the decompressed shapes end at exactly 1, as shapes do,
 *   and the stored numbers do not come near it.
 */
import { expect, test } from 'vitest';
import { parsePulseq } from '../../src/formats/pulseq/parse-pulseq.js';
import type { PulseqSequence } from '../../src/formats/pulseq/sequence.js';
import { shapeKnots } from '../../src/formats/pulseq/shapes.js';
import { PulseqGradients } from '../../src/gradients/pulseq-gradients.js';
import { playPulseq } from '../../src/gradients/pulseq-scan.js';
import { synthesiser } from '../../src/acoustics/synthesise.js';
import { AXES, timelineDurationSeconds, type Waveform } from '../../src/gradients/timeline.js';
import { collect } from '../../src/signal/sound.js';
import { describeWithOpenData, openSequences } from '../helpers/open-data.js';
import { library } from '../helpers/study.js';
import { waveformAt } from '../helpers/waveform-at.js';

/** Peaks must agree within 0.1 %; the facts are rounded to 0.01 mT/m. */
const PEAK_SHARE = 0.001;
const PEAK_ROUNDING = 0.00501;

/** Lines must agree within 1 %. */
const LINE_SHARE = 0.01;

/** What a corner in the middle of a raster cell instead of at its centres changes, in dB, at most. */
const SAME_SOUND_DB = -50;

/** The file whose shapes the independent reader took as plain. */
const MISREAD = 'KomaMRI__v1p3_spiral.seq';

/** One lobe of 0.18 ms: no tone, and the facts give the first bin of a transform of 19 samples. */
const NO_LINE = 'gr-time-shaped.seq';

const sequences = openSequences();

const withoutRotation = (sequence: PulseqSequence): PulseqSequence => ({
  ...sequence,
  blocks: { ...sequence.blocks, rotation: new Int32Array(sequence.blocks.count) },
});

const read = (file: string): PulseqSequence => {
  const found = sequences.find(sequence => sequence.file === file);
  if (found === undefined) throw new Error(`no ${file}`);
  return parsePulseq(found.text, file);
};

function peaks(gradients: PulseqGradients): readonly number[] {
  const highest = [0, 0, 0];
  for (let fromSeconds = 0; fromSeconds < gradients.durationSeconds; fromSeconds += 2.5) {
    const block = gradients.stretch(
      fromSeconds,
      Math.min(fromSeconds + 2.5, gradients.durationSeconds),
    );
    for (const [i, axis] of AXES.entries()) {
      for (const value of block[axis]?.amplitudes ?? []) {
        highest[i] = Math.max(highest[i]!, Math.abs(value));
      }
    }
  }
  return highest;
}

/** Power of a waveform's slopes at a frequency: the Fourier integral over each straight line. */
function slopePower(waveform: Waveform | undefined, hertz: number): number {
  const { timesSeconds, amplitudes } = waveform ?? { timesSeconds: [], amplitudes: [] };
  const omega = 2 * Math.PI * hertz;
  let [re, im] = [0, 0];
  for (let i = 1; i < timesSeconds.length; i++) {
    const [from, to] = [timesSeconds[i - 1]!, timesSeconds[i]!];
    if (to === from) continue;
    const slope = (amplitudes[i]! - amplitudes[i - 1]!) / (to - from);
    re += (slope * (Math.sin(omega * to) - Math.sin(omega * from))) / omega;
    im += (slope * (Math.cos(omega * to) - Math.cos(omega * from))) / omega;
  }
  return re * re + im * im;
}

describeWithOpenData('open Pulseq files', () => {
  test('there are 22, of every minor version from 1.2 to 1.5', () => {
    expect(sequences).toHaveLength(22);
    const minors = new Set(sequences.map(({ facts }) => facts.version.slice(0, 3)));
    expect(minors).toEqual(new Set(['1.2', '1.3', '1.4', '1.5']));
  });

  test.each(sequences)('$file has its version, blocks and length', ({ file, text, facts }) => {
    const sequence = parsePulseq(text, file);
    expect(sequence.version.text).toBe(facts.version);
    expect(sequence.blocks.count).toBe(facts.blocks);
    const { timeline } = playPulseq(sequence);
    const durationSeconds = timelineDurationSeconds(timeline);
    expect(Math.abs(durationSeconds - facts.duration_s)).toBeLessThan(facts.gradient_raster_s);
    const stated = sequence.definitions.get('TotalDuration');
    expect(stated ?? null).toBe(facts.TotalDuration_in_file);
    if (stated !== undefined) {
      expect(Math.abs(durationSeconds - Number(stated))).toBeLessThan(facts.gradient_raster_s);
    }
  });

  test.each(sequences)('$file has its peak gradient on each axis', ({ file, text, facts }) => {
    const sequence = parsePulseq(text, file);
    if (file === MISREAD) {
      // Amplitudes in the file are 947 610 and 946 371 Hz/m on x and y; z is a trapezoid.
      for (const gradient of sequence.gradients.values()) {
        if (gradient.kind !== 'shaped') continue;
        const { values } = shapeKnots(gradient.shape);
        expect(Math.max(...values.map(Math.abs))).toBeCloseTo(1, 9);
        expect(gradient.shape.compressed).toBe(true);
      }
      const [x, y, z] = peaks(new PulseqGradients(sequence));
      expect(x).toBeCloseTo(947_610 / 42_576, 6);
      expect(y).toBeCloseTo(946_371 / 42_576, 6);
      expect(Math.abs(z! - facts.max_gradient_mT_per_m[2]!)).toBeLessThan(PEAK_ROUNDING);
      return;
    }
    const found = peaks(new PulseqGradients(withoutRotation(sequence)));
    for (const [i, expected] of facts.max_gradient_mT_per_m.entries()) {
      const tolerance = PEAK_ROUNDING + PEAK_SHARE * expected;
      expect(Math.abs(found[i]! - expected)).toBeLessThanOrEqual(tolerance);
    }
  });

  test('the two files with rotations turn x into x and y', () => {
    const rotated = sequences.filter(({ text }) => text.includes('extension ROTATIONS'));
    expect(rotated).toHaveLength(2);
    for (const { file, text } of rotated) {
      const sequence = parsePulseq(text, file);
      const [, straight] = peaks(new PulseqGradients(withoutRotation(sequence)));
      const [, turned] = peaks(new PulseqGradients(sequence));
      expect(turned).toBeGreaterThan(2 * straight! + 0.5);
    }
  });

  const withLines = sequences.filter(({ file }) => file !== MISREAD && !file.endsWith(NO_LINE));

  test('19 of the files have lines that can be compared', () => {
    expect(withLines).toHaveLength(19);
  });

  test.each(withLines)('$file has its strongest gradient line', ({ file, text, facts }) => {
    const { tones } = playPulseq(withoutRotation(parsePulseq(text, file)));
    const [[expected, share]] = facts.strongest_dGdt_lines_hz_share as [[number, number]];
    // Where the facts give several lines the same share, the order between these is chance.
    const tied = facts.strongest_dGdt_lines_hz_share.filter(([, other]) => other === share);
    const near = tied.filter(([hertz]) => Math.abs(tones[0]!.hertz / hertz - 1) <= LINE_SHARE);
    expect(near.length).toBeGreaterThan(0);
    const named = tones.filter(({ hertz }) => Math.abs(hertz / expected - 1) <= LINE_SHARE);
    expect(named.length).toBeGreaterThan(0);
  });

  const others = sequences.filter(sequence => !withLines.includes(sequence));

  test.each(others)(
    '$file has the strongest line that its spectrum has by definition',
    ({ file }) => {
      const gradients = new PulseqGradients(read(file));
      const block = gradients.stretch(0, gradients.durationSeconds);
      let [best, highest] = [0, 0];
      for (let hertz = 50; hertz <= 6000; hertz += 10) {
        const power = AXES.reduce((sum, axis) => sum + slopePower(block[axis], hertz), 0);
        if (power > highest) [best, highest] = [hertz, power];
      }
      const [strongest] = playPulseq(read(file)).tones;
      expect(Math.abs(strongest!.hertz / best - 1)).toBeLessThan(LINE_SHARE);
    },
  );

  test('echo spacings are read from readouts: 1/(2 ES) within 1 %', () => {
    // Echo spacings by the files' own names and repositories, in ms.
    const spacings = [
      ['MR-Physics-with-Pulseq__02_01_ro_dur_1200_pe+.seq', 1.36],
      ['MR-Physics-with-Pulseq__02_07_ro_dur_480_pe+.seq', 0.76],
      ['pypulseq__write_epi.seq', 0.74],
      ['pypulseq__write_epi_label.seq', 0.74],
      ['KomaMRI__epi_JEMRIS.seq', 1.42],
    ] as const;
    for (const [file, spacingMs] of spacings) {
      const [strongest] = playPulseq(read(file)).tones;
      expect(strongest!.cause).toContain(`readout, 1/(2 x ${spacingMs} ms)`);
      expect(Math.abs(strongest!.hertz / (500 / spacingMs) - 1)).toBeLessThan(LINE_SHARE);
    }
  });

  test('excitations or pulses come as often as the facts say, where one spacing is commonest', () => {
    const spacings = [
      ['pypulseq__write_gre.seq', 0.012],
      ['pypulseq__write_radial_gre.seq', 0.02001],
      ['pypulseq__simple_mprage131.seq', 0.00561],
      ['pypulseq__simple_mprage120.seq', 0.00568],
      ['dsv2pulseq__MiniFLASH.seq', 0.02],
    ] as const;
    for (const [file, spacingSeconds] of spacings) {
      const facts = sequences.find(sequence => sequence.file === file)!.facts;
      expect(facts.commonest_rf_spacing_s).toBe(spacingSeconds);
      expect(playPulseq(read(file)).rhythm[0]!.hertz).toBeCloseTo(1 / spacingSeconds, 6);
    }
  });
});

describeWithOpenData('the same MPRAGE in several versions', () => {
  const [older, newer] = ['131', '140'].map(version => `pypulseq__simple_mprage${version}.seq`);

  test('is the same waveform in 1.3.1 and 1.4.0, at every sample of the gradient raster', () => {
    const [a, b] = [older!, newer!].map(file => {
      const gradients = new PulseqGradients(read(file));
      return gradients.stretch(0, gradients.durationSeconds);
    });
    let compared = 0;
    // 1.3.1 writes the read gradient as samples at the centres of raster cells, 1.4.0 by its corners,
    // which lie between; other gradients are written alike.
    for (let cell = 0; cell < 56_922; cell += 11) {
      for (const axis of AXES) {
        const timeSeconds = (cell + 0.5) * 1e-5;
        const difference = waveformAt(a![axis], timeSeconds) - waveformAt(b![axis], timeSeconds);
        expect(Math.abs(difference)).toBeLessThan(1e-6);
        compared += 1;
      }
    }
    expect(compared).toBe(3 * 5175);
  });

  test('sounds the same in 1.3.1 and 1.4.0', () => {
    const { sound } = synthesiser({
      response: library.responses.get('generic-3t')!,
      fieldStrength: 3,
      protection: undefined,
    });
    const [a, b] = [older!, newer!].map(file => collect(sound(playPulseq(read(file)).timeline)));
    let [error, whole] = [0, 0];
    for (const [n, sample] of a!.entries()) {
      error += (sample - b![n]!) ** 2;
      whole += sample ** 2;
    }
    expect(10 * Math.log10(error / whole)).toBeLessThan(SAME_SOUND_DB);
  });

  test('is the same block by block in 1.2.0 and 1.3.1, whose pulses are 70 us shorter', () => {
    const [older, newer] = ['120', '131'].map(version => {
      const sequence = read(`pypulseq__simple_mprage${version}.seq`);
      return { sequence, gradients: new PulseqGradients(sequence) };
    });
    expect(older!.sequence.blocks.count).toBe(newer!.sequence.blocks.count);
    let compared = 0;
    let [startA, startB] = [0, 0];
    for (let i = 0; i < older!.sequence.blocks.count; i++) {
      const [lengthA, lengthB] = [older!, newer!].map(({ sequence: { blocks } }) => {
        return blocks.durations[i]! * blocks.unitSeconds;
      }) as [number, number];
      const commonSeconds = Math.min(lengthA, lengthB);
      const [a, b] = [
        older!.gradients.stretch(startA, startA + commonSeconds),
        newer!.gradients.stretch(startB, startB + commonSeconds),
      ];
      for (const axis of AXES) {
        for (let step = 0; step < 12; step++) {
          const timeSeconds = ((step + 0.5) / 12) * commonSeconds;
          const difference = waveformAt(a[axis], timeSeconds) - waveformAt(b[axis], timeSeconds);
          expect(Math.abs(difference)).toBeLessThan(1e-4);
          compared += 1;
        }
      }
      startA += lengthA;
      startB += lengthB;
    }
    expect(compared).toBe(390 * 3 * 12);
  });
});
