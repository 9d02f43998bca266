/** Waveforms of Pulseq events against their definition, worked out by hand. */
import { describe, expect, test } from 'vitest';
import { parsePulseq } from '../../src/formats/pulseq/parse-pulseq.js';
import { PulseqGradients } from '../../src/gradients/pulseq-gradients.js';
import { AXES, type Axis, type GradientBlock } from '../../src/gradients/timeline.js';
import {
  SILENT,
  TINY_1_2_1,
  TINY_1_4_2,
  TINY_1_5_1,
  TINY_SEQUENCES,
  withExtensions,
} from '../helpers/tiny-sequences.js';
import { waveformAt } from '../helpers/waveform-at.js';

/** Rounding of a few sums and products, in mT/m. */
const ROUNDING = 1e-9;

const gradientsOf = (text: string): PulseqGradients =>
  new PulseqGradients(parsePulseq(text, 'tiny.seq'));

const whole = (text: string): GradientBlock => {
  const gradients = gradientsOf(text);
  return gradients.stretch(0, gradients.durationSeconds);
};

/** Replaces what must be there. */
function change(text: string, from: string | RegExp, to: string): string {
  const changed = text.replace(from, to);
  if (changed === text) throw new Error(`there is no ${String(from)}`);
  return changed;
}

/** Amplitudes in mT/m at times in us. */
function expectAt(
  block: GradientBlock,
  axis: Axis,
  points: readonly (readonly [us: number, g: number])[],
) {
  for (const [us, expected] of points) {
    const got = waveformAt(block[axis], us * 1e-6);
    expect(Math.abs(got - expected), `${axis} at ${us} us is ${got}`).toBeLessThan(ROUNDING);
  }
}

describe.each(TINY_SEQUENCES)('version %s', (_, text) => {
  const block = whole(text);

  test('plays trapezoids as straight lines between their corners', () => {
    // z: 10 mT/m, ramps of 100 us, 1 ms flat; again 2.2 ms later.
    for (const start of [0, 2200]) {
      expectAt(block, 'z', [
        [start + 0, 0],
        [start + 50, 5],
        [start + 100, 10],
        [start + 700, 10],
        [start + 1150, 5],
        [start + 1200, 0],
        [start + 1900, 0],
      ]);
    }
    // y: -5 mT/m after the block's start at 1200 us and a delay of 100 us.
    expectAt(block, 'y', [
      [1299, 0],
      [1325, -2.5],
      [1350, -5],
      [1750, -5],
      [1775, -2.5],
      [1801, 0],
    ]);
  });

  test('puts samples at the centres of raster cells, and the edges at zero', () => {
    // x: 20 mT/m times 0.125, 0.375 ... at 5, 15 ... us after the start at 1200 us.
    expectAt(block, 'x', [
      [1200, 0],
      [1202.5, 1.25],
      [1205, 2.5],
      [1210, 5],
      [1215, 7.5],
      [1235, 17.5],
      [1240, 17.5],
      [1245, 17.5],
      [1275, 2.5],
      [1280, 0],
      [1290, 0],
    ]);
  });
});

describe('what a file says of edges and times', () => {
  test('from 1.5 on the edges are the first and last amplitude', () => {
    const block = whole(change(TINY_1_5_1, '3 851520 0 0 3', '3 851520 42576 85152 3'));
    expectAt(block, 'x', [
      [1199.5, 0],
      [1200.5, 1.15],
      [1202.5, (1 + 2.5) / 2],
      [1277.5, (2.5 + 2) / 2],
      [1281, 0],
    ]);
  });

  test('half-raster samples lie every half cell from the first centre on', () => {
    const odd = change(TINY_1_5_1, 'num_samples 8\n0.125\n', 'num_samples 7\n');
    const block = whole(change(odd, '3 851520 0 0 3 0 0', '3 851520 0 0 3 -1 0'));
    // Seven samples at 5, 10 ... 35 us; the end at 40 us.
    expectAt(block, 'x', [
      [1200, 0],
      [1205, 7.5],
      [1210, 12.5],
      [1215, 17.5],
      [1220, 17.5],
      [1235, 2.5],
      [1237.5, 1.25],
      [1240, 0],
    ]);
  });

  test('a time shape gives the times of the corners, in rasters', () => {
    const times = change(
      TINY_1_5_1,
      'shape_id 3',
      'shape_id 4\nnum_samples 8\n0\n1\n2\n4\n8\n9\n9.5\n20\n\nshape_id 3',
    );
    const block = whole(change(times, '3 851520 0 0 3 0 0', '3 851520 2.5 2.5 3 4 20'));
    // A delay of 20 us: 2.5 mT/m at once, 7.5 after 10 us ...
    expectAt(block, 'x', [
      [1219, 0],
      [1220.5, 2.75],
      [1225, 5],
      [1230, 7.5],
      [1240, 12.5],
      [1250, 15],
      [1260, 17.5],
      [1280, 17.5],
      [1300, 17.5],
      [1310, 12.5],
      [1315, 7.5],
      [1367.5, 5],
      [1421, 0],
    ]);
  });
});

describe('edges that a file does not say (before 1.5)', () => {
  /** Two shapes of eight samples in neighbouring blocks of 80 us, of amplitudes 20 and 20. */
  const two = (first: string, second: string): string =>
    change(
      change(
        change(TINY_1_4_2, '2 60 0 3 2 0 0 0', '2 8 0 3 0 0 0 0'),
        '3 40 0 0 0 0 1 0',
        '3 8 0 4 0 0 0 0',
      ),
      /3 851520 3 0 0/,
      '3 851520 3 0 0\n4 851520 4 0 0',
    ).replace(
      /shape_id 3[\s\S]*?(?=\n\[SIGN)/,
      `shape_id 3\nnum_samples 8\n${first.split(' ').join('\n')}\n\nshape_id 4\nnum_samples 8\n${second.split(' ').join('\n')}\n`,
    );

  test('a shape goes on into the next in a straight line', () => {
    const block = whole(two('0.1 0.2 0.3 0.4 0.5 0.6 0.7 0.8', '0.9 0.7 0.6 0.5 0.4 0.3 0.2 0.1'));
    expectAt(block, 'x', [
      [1275, 16],
      [1280, 17],
      [1285, 18],
      [1355, 2],
      [1360, 0],
    ]);
  });

  test('a shape goes on into a trapezoid that starts at zero, and ends at zero before silence', () => {
    const text = two('0.1 0.2 0.3 0.4 0.5 0.6 0.7 0.8', '0.9 0.7 0.6 0.5 0.4 0.3 0.2 0.1');
    const block = whole(change(text, '3 8 0 4 0 0 0 0', '3 120 0 1 0 0 0 0'));
    expectAt(block, 'x', [
      [1275, 16],
      [1277.5, 8],
      [1280, 0],
      [1380, 10],
    ]);
  });

  test('a shape after a delay starts at zero', () => {
    const block = whole(change(TINY_1_2_1, '3 851520 3 0', '3 851520 3 40'));
    expectAt(block, 'x', [
      [1240, 0],
      [1242.5, 1.25],
      [1245, 2.5],
    ]);
  });
});

describe('rotation', () => {
  /** 30 degrees about z. */
  const turned = whole(
    withExtensions(
      '1 2 5 0\nextension ROTATIONS 2\n5 0.9659258262890683 0 0 0.25881904510252074\n',
    ),
  );

  test('turns all three gradients of its block together, and of no other', () => {
    const [cosine, sine] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
    const straight = whole(TINY_1_5_1);
    for (const us of [1202.5, 1215, 1240, 1270, 1310, 1340, 1500, 1790]) {
      const [x, y] = [waveformAt(straight.x, us * 1e-6), waveformAt(straight.y, us * 1e-6)];
      expectAt(turned, 'x', [[us, cosine * x - sine * y]]);
      expectAt(turned, 'y', [[us, sine * x + cosine * y]]);
    }
    for (const us of [100, 700, 2300, 3410, 3500]) {
      for (const axis of AXES) {
        expectAt(turned, axis, [[us, waveformAt(straight[axis], us * 1e-6)]]);
      }
    }
  });

  test('keeps the length of the vector whatever the axis it turns about', () => {
    const quaternion = [0.3, -0.5, 0.1, Math.sqrt(1 - 0.09 - 0.25 - 0.01)];
    const block = whole(
      withExtensions(`1 2 5 0\nextension ROTATIONS 2\n5 ${quaternion.join(' ')}\n`),
    );
    const straight = whole(TINY_1_5_1);
    const lengthAt = (from: GradientBlock, us: number): number =>
      Math.hypot(...AXES.map(axis => waveformAt(from[axis], us * 1e-6)));
    for (const us of [1202, 1240, 1275, 1320, 1500, 1780]) {
      expect(lengthAt(block, us)).toBeCloseTo(lengthAt(straight, us), 9);
    }
  });

  test('a quarter of a turn about x brings y to z (v is turned as q v q*)', () => {
    const half = Math.SQRT1_2;
    const block = whole(withExtensions(`1 2 5 0\nextension ROTATIONS 2\n5 ${half} ${half} 0 0\n`));
    expectAt(block, 'z', [[1500, -5]]);
    expectAt(block, 'y', [[1500, 0]]);
  });
});

test('stretches one after another are the whole, wherever they are cut', () => {
  const gradients = gradientsOf(TINY_1_4_2);
  const all = gradients.stretch(0, gradients.durationSeconds);
  const cutsSeconds = [
    0,
    30e-6,
    100e-6,
    1207.3e-6,
    1237e-6,
    1750e-6,
    2200e-6,
    3450e-6,
    gradients.durationSeconds,
  ];
  for (let i = 1; i < cutsSeconds.length; i++) {
    const [fromSeconds, toSeconds] = [cutsSeconds[i - 1]!, cutsSeconds[i]!];
    const part = gradients.stretch(fromSeconds, toSeconds);
    for (let step = 0; step < 50; step++) {
      const timeSeconds = fromSeconds + ((step + 0.37) / 50) * (toSeconds - fromSeconds);
      for (const axis of AXES) {
        const difference =
          waveformAt(part[axis], timeSeconds - fromSeconds) - waveformAt(all[axis], timeSeconds);
        expect(Math.abs(difference)).toBeLessThan(1e-6);
      }
    }
    for (const axis of AXES) {
      const waveform = part[axis];
      if (waveform === undefined) continue;
      expect(waveform.timesSeconds[0]).toBe(0);
      expect(waveform.timesSeconds.at(-1)).toBe(toSeconds - fromSeconds);
    }
  }
});

test('a sequence without gradients has no waveform on any axis', () => {
  expect(whole(SILENT)).toEqual({});
});
