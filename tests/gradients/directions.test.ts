import { expect, test } from 'vitest';
import { evenDirections } from '../../src/gradients/directions.js';

test.each([6, 30, 64, 100])(
  '%i directions are unit vectors, spread evenly over the sphere',
  count => {
    const directions = evenDirections(count);
    expect(directions).toHaveLength(count);
    const moment = [0, 0, 0];
    for (const direction of directions) {
      expect(Math.hypot(...direction)).toBeCloseTo(1, 12);
      direction.forEach((x, i) => (moment[i]! += (x * x) / count));
    }
    // On an even sphere the mean square of each component is 1/3.
    for (const square of moment) expect(Math.abs(square - 1 / 3)).toBeLessThan(0.35 / count + 0.02);
    const nearest = directions.map((a, i) =>
      Math.min(
        ...directions
          .filter((_, k) => k !== i)
          .map(b => Math.acos(a[0] * b[0] + a[1] * b[1] + a[2] * b[2])),
      ),
    );
    // The best possible packing has about sqrt(4 pi / count * 2 / sqrt 3) between neighbours.
    expect(Math.min(...nearest)).toBeGreaterThan(
      0.6 * Math.sqrt(((4 * Math.PI) / count) * (2 / Math.sqrt(3))),
    );
  },
);

test('any first third of a set is spread as well', () => {
  const part = evenDirections(90).slice(0, 30);
  for (const axis of [0, 1, 2] as const) {
    const square = part.reduce((sum, direction) => sum + direction[axis] ** 2, 0) / part.length;
    expect(Math.abs(square - 1 / 3)).toBeLessThan(0.08);
  }
});
