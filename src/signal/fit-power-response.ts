/**
 * Fits a short digital filter to a wanted power response |H(f)|^2.
 *
 * On the unit circle the power response of a real filter is a ratio of polynomials in cos(w), so
 * the fit is a rational approximation of a real function. It is found by iterated linear least
 * squares (Sanathanan and Koerner, IEEE Trans. Autom. Control 8, 1963: divide each equation by the
 * denominator found before), re-weighted towards the largest relative error (Lawson 1961), and
 * factored into stable minimum-phase sections.
 *
 * @module
 */
import type { Biquad } from './biquad.js';

/** What to fit, and with how many coefficients. */
export interface PowerResponseFit {
  /** Wanted power gain at a frequency in Hz; above 0 and finite from 0 Hz to `topHz`. */
  readonly power: (frequencyHz: number) => number;
  readonly sampleRateHz: number;
  /** The fit counts from 0 Hz to here; at most half the sample rate. */
  readonly topHz: number;
  /** Number of zeros and of poles. */
  readonly zeros: 0 | 1 | 2 | 3;
  readonly poles: 0 | 1 | 2 | 3;
}

/** Frequencies at which the fit is held, closest at both ends. */
const GRID_POINTS = 201;

/** Plain least squares first, so that the weights follow an error that means something. */
const PLAIN_ITERATIONS = 5;

/** The largest error stops shrinking well before this. */
const ITERATIONS = 40;

/** cos(k w), k = 0 to 3, from 0 Hz to half the sample rate. */
const CIRCLE = Array.from({ length: GRID_POINTS }, (_, i) =>
  cosinesOf((Math.PI * i) / (GRID_POINTS - 1)),
);

/** A root x beyond this belongs to a root z below 1e-12: no filter that could be heard. */
const FARTHEST_ROOT = 1e12;

/** Halvings that exhaust the digits of a number. */
const BISECTIONS = 60;

/**
 * The stable minimum-phase filter whose power response is closest, in the largest relative error:
 * one section, or two where there are three zeros or poles.
 *
 * @throws {RangeError} No filter with so many zeros and poles comes near: every fit has a negative
 * power somewhere.
 */
export function fitPowerResponse(fit: PowerResponseFit): Biquad[] {
  const { zeros, poles } = fit;
  const { cosines, wanted } = sampleFit(fit);
  const weights = new Float64Array(GRID_POINTS).fill(1);
  const errors = new Float64Array(GRID_POINTS);
  let denominator = [1, ...new Array<number>(poles).fill(0)];
  let best = { error: Infinity, numerator: [1], denominator };
  for (let iteration = 0; iteration < ITERATIONS; iteration++) {
    const solution = weightedSolution(fit, { cosines, wanted, weights, previous: denominator });
    const numerator = solution.slice(0, zeros + 1);
    denominator = [1, ...solution.slice(zeros + 1)];
    let largest = 0;
    let sum = 0;
    for (let i = 0; i < GRID_POINTS; i++) {
      const ratio = cosineSum(numerator, cosines[i]!) / cosineSum(denominator, cosines[i]!);
      errors[i] = Math.abs(ratio / wanted[i]! - 1);
      largest = Math.max(largest, errors[i]!);
      sum += errors[i]!;
    }
    if (iteration < PLAIN_ITERATIONS) continue;
    if (largest < best.error && isPositive(numerator) && isPositive(denominator)) {
      best = { error: largest, numerator, denominator };
    }
    // Half of the step that Lawson takes: the denominator moves too, and a full step swings.
    for (let i = 0; i < GRID_POINTS; i++) {
      weights[i]! *= 0.5 + (0.5 * errors[i]! * GRID_POINTS) / (sum || 1);
    }
    normaliseMean(weights);
  }
  if (best.error === Infinity) {
    throw new RangeError(
      `no filter of ${zeros} zeros and ${poles} poles fits at ${fit.sampleRateHz} Hz`,
    );
  }
  return sectionsOf(best.numerator, best.denominator);
}

/** Whether a sum of cosines is above 0 all around the unit circle, beyond the top of the fit too. */
function isPositive(coefficients: readonly number[]): boolean {
  return CIRCLE.every(cosine => cosineSum(coefficients, cosine) > 0);
}

/** cos(k w), k = 0 to 3, and the wanted power, at each frequency of the grid. */
function sampleFit(fit: PowerResponseFit): { cosines: number[][]; wanted: number[] } {
  const cosines: number[][] = [];
  const wanted: number[] = [];
  for (let i = 0; i < GRID_POINTS; i++) {
    const frequencyHz = (fit.topHz * (1 - Math.cos((Math.PI * i) / (GRID_POINTS - 1)))) / 2;
    const angle = (2 * Math.PI * frequencyHz) / fit.sampleRateHz;
    cosines.push(cosinesOf(angle));
    wanted.push(fit.power(frequencyHz));
  }
  return { cosines, wanted };
}

/** Least squares for P - wanted Q = 0, each equation divided by wanted and by the previous Q. */
function weightedSolution(
  { zeros, poles }: PowerResponseFit,
  grid: {
    readonly cosines: readonly (readonly number[])[];
    readonly wanted: readonly number[];
    readonly weights: Float64Array;
    readonly previous: readonly number[];
  },
): number[] {
  const unknowns = zeros + 1 + poles;
  const matrix = Array.from({ length: unknowns }, () => new Array<number>(unknowns).fill(0));
  const right = new Array<number>(unknowns).fill(0);
  const row = new Array<number>(unknowns).fill(0);
  for (let i = 0; i < GRID_POINTS; i++) {
    const cosine = grid.cosines[i]!;
    const previous = cosineSum(grid.previous, cosine);
    for (let k = 0; k <= zeros; k++) row[k] = cosine[k]! / (grid.wanted[i]! * previous);
    for (let k = 1; k <= poles; k++) row[zeros + k] = -cosine[k]! / previous;
    for (let a = 0; a < unknowns; a++) {
      const weighted = grid.weights[i]! * row[a]!;
      right[a]! += weighted / previous;
      for (let b = 0; b < unknowns; b++) matrix[a]![b]! += weighted * row[b]!;
    }
  }
  return solveLinear(matrix, right);
}

function cosinesOf(angle: number): number[] {
  return [1, Math.cos(angle), Math.cos(2 * angle), Math.cos(3 * angle)];
}

/** sum of c[k] cos(k w). */
function cosineSum(coefficients: readonly number[], cosine: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < coefficients.length; k++) sum += coefficients[k]! * cosine[k]!;
  return sum;
}

function sectionsOf(numerator: readonly number[], denominator: readonly number[]): Biquad[] {
  const above = minimumPhaseFactors(numerator);
  const below = minimumPhaseFactors(denominator);
  const count = Math.max(above.length, below.length);
  const sections: Biquad[] = [];
  for (let i = 0; i < count; i++) {
    const [b0, b1, b2] = above[i] ?? [1, 0, 0];
    const [a0, a1, a2] = below[i] ?? [1, 0, 0];
    sections.push({ b0: b0 / a0, b1: b1 / a0, b2: b2 / a0, a1: a1 / a0, a2: a2 / a0 });
  }
  return sections;
}

/** A polynomial in z^-1 of at most second order. */
type Factor = readonly [number, number, number];

/**
 * Polynomials in z^-1 with all roots inside the unit circle whose joint power on it is `cosines`,
 * the one of second order first.
 *
 * With x = (z + 1/z) / 2, every root x of the power belongs to a pair z, 1/z; the inner one is taken.
 */
function minimumPhaseFactors(cosines: readonly number[]): readonly Factor[] {
  const [p0 = 0, p1 = 0, p2 = 0, p3 = 0] = cosines;
  // cos(2w) = 2 x^2 - 1, cos(3w) = 4 x^3 - 3 x.
  const [x3, x2, x1, x0] = [4 * p3, 2 * p2, p1 - 3 * p3, p0 - p2];
  const factors = x3 === 0 ? [lowerFactor(x2, x1, x0)] : cubicFactors(x3, x2, x1, x0);
  // At w = 0 the power is the square of the sum of the coefficients.
  const power = p0 + p1 + p2 + p3;
  const sum = factors.reduce((product, [c0, c1, c2]) => product * (c0 + c1 + c2), 1);
  const scale = Math.sqrt(power) / Math.abs(sum);
  if (!(scale > 0 && scale < Infinity)) {
    throw new RangeError(`fitted power must be above 0 everywhere, got ${power} at 0 Hz`);
  }
  const [[c0, c1, c2], ...rest] = factors as [Factor, ...Factor[]];
  return [[c0 * scale, c1 * scale, c2 * scale], ...rest];
}

/** A cubic that keeps its sign from -1 to 1 has a real root outside: divide by it. */
function cubicFactors(x3: number, x2: number, x1: number, x0: number): Factor[] {
  const at = (x: number): number => ((x3 * x + x2) * x + x1) * x + x0;
  const side = at(1) * x3 > 0 ? -1 : 1;
  let [near, far] = [side, 2 * side];
  while (at(far) * at(side) > 0) {
    if (Math.abs(far) > FARTHEST_ROOT) return [lowerFactor(x2, x1, x0)];
    [near, far] = [far, 2 * far];
  }
  for (let i = 0; i < BISECTIONS; i++) {
    const middle = (near + far) / 2;
    if (at(middle) * at(side) > 0) near = middle;
    else far = middle;
  }
  const root = near;
  const quadratic = lowerFactor(x3, x2 + x3 * root, x1 + (x2 + x3 * root) * root);
  return [quadratic, [1, -innerRoot(root), 0]];
}

function lowerFactor(x2: number, x1: number, x0: number): Factor {
  if (x2 !== 0) return quadraticFactor(x2, x1, x0);
  return x1 === 0 ? [1, 0, 0] : [1, -innerRoot(-x0 / x1), 0];
}

function quadraticFactor(x2: number, x1: number, x0: number): Factor {
  const discriminant = x1 * x1 - 4 * x2 * x0;
  if (discriminant >= 0) {
    const root = Math.sqrt(discriminant);
    const q = -(x1 + (x1 < 0 ? -root : root)) / 2;
    const z1 = innerRoot(q / x2);
    const z2 = innerRoot(x0 / q);
    return [1, -(z1 + z2), z1 * z2];
  }
  // A complex pair x gives a complex pair z = x - sqrt(x^2 - 1), on the branch inside the circle.
  const re = -x1 / (2 * x2);
  const im = Math.sqrt(-discriminant) / (2 * x2);
  const [squareRe, squareIm] = [re * re - im * im - 1, 2 * re * im];
  const size = Math.hypot(squareRe, squareIm);
  const rootRe = Math.sqrt((size + squareRe) / 2);
  const rootIm = (squareIm < 0 ? -1 : 1) * Math.sqrt((size - squareRe) / 2);
  const inside = Math.hypot(re - rootRe, im - rootIm) < 1 ? 1 : -1;
  const [zRe, zIm] = [re - inside * rootRe, im - inside * rootIm];
  return [1, -2 * zRe, zRe * zRe + zIm * zIm];
}

/** The root of z + 1/z = 2x inside the unit circle; NaN when both lie on it (power crosses zero). */
function innerRoot(x: number): number {
  if (Math.abs(x) <= 1) return Number.NaN;
  return 1 / (x + Math.sign(x) * Math.sqrt(x * x - 1));
}

function normaliseMean(values: Float64Array): void {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  for (let i = 0; i < values.length; i++) values[i]! /= mean;
}

/** Gaussian elimination with row exchange; at most 7 unknowns here. */
function solveLinear(matrix: number[][], right: number[]): number[] {
  const size = right.length;
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let row = column + 1; row < size; row++) {
      if (Math.abs(matrix[row]![column]!) > Math.abs(matrix[pivot]![column]!)) pivot = row;
    }
    [matrix[column], matrix[pivot]] = [matrix[pivot]!, matrix[column]!];
    [right[column], right[pivot]] = [right[pivot]!, right[column]!];
    for (let row = column + 1; row < size; row++) {
      const factor = matrix[row]![column]! / matrix[column]![column]!;
      for (let k = column; k < size; k++) matrix[row]![k]! -= factor * matrix[column]![k]!;
      right[row]! -= factor * right[column]!;
    }
  }
  for (let row = size - 1; row >= 0; row--) {
    for (let k = row + 1; k < size; k++) right[row]! -= matrix[row]![k]! * right[k]!;
    right[row]! /= matrix[row]![row]!;
  }
  return right;
}
