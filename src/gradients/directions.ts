/**
 * Diffusion directions: our own set, evenly spread over the sphere.
 *
 * @module
 */

export type Direction = readonly [x: number, y: number, z: number];

/** Golden ratio minus one: the fraction that spreads points most evenly. */
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * `count` unit vectors on a Fibonacci lattice, in an order in which neighbours in time lie far apart,
 * so that any part of the set is spread as well.
 */
export function evenDirections(count: number): readonly Direction[] {
  const lattice = Array.from({ length: count }, (_, i): Direction => {
    const z = 1 - (2 * i + 1) / count;
    const radius = Math.sqrt(1 - z * z);
    const angle = 2 * Math.PI * GOLDEN * i;
    return [radius * Math.cos(angle), radius * Math.sin(angle), z];
  });
  return lattice
    .map((direction, i) => ({ direction, turn: (i * GOLDEN) % 1 }))
    .sort((a, b) => a.turn - b.turn)
    .map(({ direction }) => direction);
}
