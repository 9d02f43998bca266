/** The spiral: Archimedean, within its limits and at one of them, rewound. Its defining equation is the truth. */
import { describe, expect, test } from 'vitest';
import { encodingArea } from '../../src/gradients/physics.js';
import { spiralTrajectory } from '../../src/gradients/spiral-trajectory.js';

/** Chords between corners 10 us apart differ from the curve by this share of the outermost radius. */
const CHORDS = 2e-3;

describe.each([
  ['speech, 13 interleaves', { fieldOfViewMm: 201.6, voxelMm: 2.4, interleaves: 13 }, 40, 150],
  ['one interleaf for a slice', { fieldOfViewMm: 220, voxelMm: 3.4, interleaves: 1 }, 30, 120],
  ['fine and strong', { fieldOfViewMm: 220, voxelMm: 1, interleaves: 24 }, 80, 200],
])('%s', (_, shape, amplitude, slewRate) => {
  const { along, across, readoutSeconds, durationSeconds, lastTurnHz } = spiralTrajectory(shape, {
    amplitude,
    slewRate,
  });
  const times = along.timesSeconds;
  const corners = Array.from(times, (timeSeconds, i) => ({
    timeSeconds,
    g: [along.amplitudes[i]!, across.amplitudes[i]!] as const,
  }));

  /** Area so far at every corner. */
  const areas = corners.map(() => [0, 0] as [number, number]);
  for (let i = 1; i < corners.length; i++) {
    const [a, b] = [corners[i - 1]!, corners[i]!];
    for (const axis of [0, 1] as const) {
      areas[i]![axis] =
        areas[i - 1]![axis] + ((b.timeSeconds - a.timeSeconds) * (a.g[axis] + b.g[axis])) / 2;
    }
  }
  const edge = encodingArea(shape.voxelMm) / 2;
  const readout = corners.filter(({ timeSeconds }) => timeSeconds <= readoutSeconds + 1e-9);

  test('keeps amplitude and slew rate as a vector, so that it may be turned', () => {
    for (const [i, { timeSeconds, g }] of corners.entries()) {
      expect(Math.hypot(...g)).toBeLessThanOrEqual(amplitude * (1 + 1e-9));
      if (i === 0) continue;
      const before = corners[i - 1]!;
      const change = Math.hypot(g[0] - before.g[0], g[1] - before.g[1]);
      expect(change / (timeSeconds - before.timeSeconds) / 1e3).toBeLessThanOrEqual(
        slewRate * (1 + 1e-6),
      );
    }
  });

  test('is at the limit of one or the other all the way', () => {
    for (const [i, { timeSeconds, g }] of readout.entries()) {
      if (i < 3 || i === readout.length - 1) continue;
      const before = readout[i - 1]!;
      const change = Math.hypot(g[0] - before.g[0], g[1] - before.g[1]);
      const slewShare = change / (timeSeconds - before.timeSeconds) / 1e3 / slewRate;
      // The first turns are so quick that a chord loses some of the slew rate.
      expect(Math.max(slewShare, Math.hypot(...g) / amplitude)).toBeGreaterThan(0.9);
    }
  });

  test('has a radius proportional to its angle: one sampling distance per turn of all interleaves', () => {
    const perTurn = shape.interleaves * encodingArea(shape.fieldOfViewMm);
    let angle = 0;
    for (const [i, [x, y]] of areas.slice(0, readout.length).entries()) {
      const radius = Math.hypot(x, y);
      const [px, py] = areas[Math.max(0, i - 1)]!;
      angle += i > 1 ? Math.atan2(px * y - py * x, px * x + py * y) : Math.atan2(y, x);
      expect(Math.abs(radius - (angle / (2 * Math.PI)) * perTurn) / edge).toBeLessThan(CHORDS);
    }
    expect(Math.hypot(...areas[readout.length - 1]!) / edge).toBeCloseTo(1, 2);
  });

  test('chirps downward: it turns ever more slowly, down to the rate that it names', () => {
    const turnHz = (i: number): number => {
      const [a, b] = [readout[i - 1]!, readout[i]!];
      const turn = Math.atan2(a.g[0] * b.g[1] - a.g[1] * b.g[0], a.g[0] * b.g[0] + a.g[1] * b.g[1]);
      return turn / (2 * Math.PI * (b.timeSeconds - a.timeSeconds));
    };
    const n = readout.length;
    const rates = [0.25, 0.5, 0.75].map(share => turnHz(Math.round(share * n)));
    expect(rates[0]).toBeGreaterThan(rates[1]!);
    expect(rates[1]).toBeGreaterThan(rates[2]!);
    expect(turnHz(n - 2) / lastTurnHz).toBeCloseTo(1, 1);
  });

  test('comes back to the middle of k-space and to zero', () => {
    expect(times.at(-1)).toBeCloseTo(durationSeconds, 12);
    expect(corners.at(-1)!.g.map(Math.abs)).toEqual([0, 0]);
    expect(Math.hypot(...areas.at(-1)!) / edge).toBeLessThan(1e-9);
  });
});
