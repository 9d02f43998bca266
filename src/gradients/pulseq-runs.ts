/**
 * Exact repetition in a sequence of blocks: where a group of blocks comes again and again.
 *
 * At every place, the distances to where the same few blocks come again are tried as periods; how far
 * the repetition goes is found by comparing hashes of stretches, and what is accepted is compared
 * block by block.
 *
 * @module
 */
import type { SoundingBlocks } from './pulseq-gradients.js';

/** A stretch of blocks in which every block equals the one `period` blocks later. */
export interface Run {
  /** First block, and the one after the last. */
  readonly begin: number;
  readonly end: number;
  /** Blocks in a period. */
  readonly period: number;
  /** Length of a period in s. */
  readonly periodSeconds: number;
  /** Length in s of the shorter period that it is a multiple of, or its own. */
  readonly basicSeconds: number;
}

/** What counts as a run. */
export interface RunLimits {
  /** Shortest and longest period, in s; of a shorter one, a multiple is taken. */
  readonly shortestSeconds: number;
  readonly longestSeconds: number;
  /** Shortest run, in s. */
  readonly atLeastSeconds: number;
}

/** Blocks that must come again at a distance for it to be tried as a period. */
const SEED_BLOCKS = 8;

/** Distances tried at one place: more than the slices or echoes of a volume. */
const MAX_TRIES = 128;

/** Runs of a sequence, in order, not overlapping: at each place the longest that begins there. */
export function findRuns(blocks: SoundingBlocks, limits: RunLimits): readonly Run[] {
  const symbols = symbolsOf(blocks);
  const hashes = new StretchHashes(symbols);
  const again = nextAlike(hashes, blocks.count);
  const runs: Run[] = [];
  for (let block = 0; block < blocks.count;) {
    const run = longestRun(block, blocks, symbols, hashes, again, limits);
    if (run === undefined) block += 1;
    else {
      runs.push(run);
      block = run.end;
    }
  }
  return runs;
}

function longestRun(
  begin: number,
  { count, startsSeconds }: SoundingBlocks,
  symbols: Int32Array,
  hashes: StretchHashes,
  again: Int32Array,
  limits: RunLimits,
): Run | undefined {
  let best: Run | undefined;
  let tries = 0;
  for (let next = again[begin]!; next !== 0 && tries < MAX_TRIES; next = again[next]!, tries++) {
    const basic = next - begin;
    const basicSeconds = startsSeconds[next]! - startsSeconds[begin]!;
    if (basicSeconds > limits.longestSeconds) break;
    if (next + basic > count || !hashes.equal(begin, next, basic)) continue;
    const end = next + hashes.common(begin, next);
    const lengthSeconds = startsSeconds[end]! - startsSeconds[begin]!;
    const bestSeconds =
      best === undefined ? limits.atLeastSeconds : startsSeconds[best.end]! - startsSeconds[begin]!;
    if (lengthSeconds <= bestSeconds || !repeats(symbols, begin, end, basic)) continue;
    const period = basic * Math.ceil(limits.shortestSeconds / basicSeconds);
    const periodSeconds = startsSeconds[begin + period]! - startsSeconds[begin]!;
    best = { begin, end, period, periodSeconds, basicSeconds };
  }
  return best;
}

function repeats(symbols: Int32Array, begin: number, end: number, period: number): boolean {
  for (let i = begin; i + period < end; i++) if (symbols[i] !== symbols[i + period]) return false;
  return true;
}

/** One number per block; equal blocks have equal numbers. */
function symbolsOf({ count, durations, gradients, rotation }: SoundingBlocks): Int32Array {
  const [x, y, z] = gradients;
  const known = new Map<string, number>();
  const symbols = new Int32Array(count);
  for (let i = 0; i < count; i++) {
    const key = `${x[i]!},${y[i]!},${z[i]!},${rotation[i]!},${durations[i]!}`;
    let symbol = known.get(key);
    if (symbol === undefined) known.set(key, (symbol = known.size + 1));
    symbols[i] = symbol;
  }
  return symbols;
}

/** For every block the next one from which on the same few blocks follow; 0 for none. */
function nextAlike(hashes: StretchHashes, count: number): Int32Array {
  const next = new Int32Array(count);
  const seen = new Map<number, number>();
  for (let block = count - SEED_BLOCKS; block >= 0; block--) {
    const seed = hashes.of(block, SEED_BLOCKS);
    next[block] = seen.get(seed) ?? 0;
    seen.set(seed, block);
  }
  return next;
}

/** Odd multiplier of the polynomial hash; 2^32 times the golden section. */
const MULTIPLIER = 0x9e3779b1;

/** Hashes of stretches of blocks: equal stretches have equal hashes, others nearly never. */
class StretchHashes {
  private readonly prefixes: Int32Array;
  private readonly powers: Int32Array;

  constructor(symbols: Int32Array) {
    this.prefixes = new Int32Array(symbols.length + 1);
    this.powers = new Int32Array(symbols.length + 1).fill(1);
    for (let i = 0; i < symbols.length; i++) {
      this.prefixes[i + 1] = Math.imul(this.prefixes[i]!, MULTIPLIER) + symbols[i]!;
      this.powers[i + 1] = Math.imul(this.powers[i]!, MULTIPLIER);
    }
  }

  of(begin: number, length: number): number {
    const before = Math.imul(this.prefixes[begin]!, this.powers[length]!);
    return (this.prefixes[begin + length]! - before) | 0;
  }

  equal(a: number, b: number, length: number): boolean {
    return this.of(a, length) === this.of(b, length);
  }

  /** How many blocks are the same from `a` and from a later `b` on. */
  common(a: number, b: number): number {
    let low = 0;
    let high = this.prefixes.length - 1 - b;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.equal(a, b, middle)) low = middle;
      else high = middle - 1;
    }
    return low;
  }
}
