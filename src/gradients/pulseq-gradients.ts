/**
 * The gradients of a Pulseq sequence at any time: exact straight-line waveforms of any stretch of it.
 *
 * Nothing is written out in advance, so a long sequence needs no more memory than its file.
 *
 * @module
 */
import type { PulseqSequence } from '../formats/pulseq/sequence.js';
import { CornerList, SAME_CORNER_SECONDS } from './pulseq-corners.js';
import { rotateWaveforms } from './pulseq-rotation.js';
import { type EventWaveform, eventWaveform } from './pulseq-waveform.js';
import { AXES, type GradientBlock } from './timeline.js';

/** Blocks that matter: those that last, with neighbouring silent ones joined; shape `[count]`. */
export interface SoundingBlocks {
  readonly count: number;
  /** When each starts, in s, and when the last one ends, shape `[count + 1]`. */
  readonly startsSeconds: Float64Array;
  /** Lengths in the sequence's own unit, exact. */
  readonly durations: Float64Array;
  /** Gradient events on x, y and z; 0 for none or a silent one. */
  readonly gradients: readonly [x: Int32Array, y: Int32Array, z: Int32Array];
  /** Rotations; 0 for none. */
  readonly rotation: Int32Array;
}

export class PulseqGradients {
  readonly blocks: SoundingBlocks;
  readonly durationSeconds: number;
  private readonly waveforms: ReadonlyMap<number, EventWaveform>;

  constructor(private readonly sequence: PulseqSequence) {
    const { gradients, rasters } = sequence;
    const waveforms = new Map<number, EventWaveform>();
    for (const [id, gradient] of gradients) {
      const waveform = eventWaveform(gradient, rasters.gradientSeconds);
      if (waveform !== undefined) waveforms.set(id, waveform);
    }
    this.waveforms = waveforms;
    this.blocks = soundingBlocks(sequence, waveforms);
    this.durationSeconds = this.blocks.startsSeconds[this.blocks.count]!;
  }

  /**
   * The waveforms from one time to another; times count from the first. A gradient that is on at
   * either end has a corner there that is not zero.
   */
  stretch(fromSeconds: number, toSeconds: number): GradientBlock {
    const { count, startsSeconds } = this.blocks;
    const lists = AXES.map(() => new CornerList());
    for (
      let block = this.blockAt(fromSeconds);
      block < count && startsSeconds[block]! < toSeconds;
      block++
    ) {
      this.append(lists, block, startsSeconds[block]! - fromSeconds);
    }
    const waveforms: Record<string, unknown> = {};
    for (const [i, axis] of AXES.entries()) {
      const waveform = lists[i]!.stretch(0, toSeconds - fromSeconds);
      if (waveform !== undefined) waveforms[axis] = waveform;
    }
    return waveforms;
  }

  /** Number of the block that is played at a time. */
  private blockAt(timeSeconds: number): number {
    const { count, startsSeconds } = this.blocks;
    let low = 0;
    let high = count;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (startsSeconds[middle]! <= timeSeconds + SAME_CORNER_SECONDS) low = middle;
      else high = middle;
    }
    return low;
  }

  private append(lists: readonly CornerList[], block: number, startSeconds: number): void {
    const { gradients, rotation } = this.blocks;
    const turn = this.sequence.rotations.get(rotation[block]!);
    if (turn === undefined) {
      for (const [axis, list] of lists.entries()) {
        const waveform = this.waveforms.get(gradients[axis]![block]!);
        if (waveform === undefined) continue;
        if (waveform.open)
          list.append(waveform, startSeconds, ...this.edges(axis, block, waveform));
        else list.append(waveform, startSeconds);
      }
      return;
    }
    const turned = rotateWaveforms(
      lists.map((_, axis) => this.closed(axis, block)),
      turn,
    );
    for (const [axis, waveform] of turned.entries()) {
      if (waveform !== undefined) lists[axis]!.append(waveform, startSeconds);
    }
  }

  /** An event's waveform with its edges filled in. */
  private closed(axis: number, block: number): EventWaveform | undefined {
    const waveform = this.waveforms.get(this.blocks.gradients[axis]![block]!);
    if (!waveform?.open) return waveform;
    const amplitudes = waveform.amplitudes.slice();
    const [first, last] = this.edges(axis, block, waveform);
    amplitudes[0] = first;
    amplitudes[amplitudes.length - 1] = last;
    return { ...waveform, amplitudes };
  }

  /** Both edges of an event that does not say them: zero where it lies within its block. */
  private edges(
    axis: number,
    block: number,
    { timesSeconds }: EventWaveform,
  ): readonly [first: number, last: number] {
    const starts = timesSeconds[0]! < SAME_CORNER_SECONDS;
    const reaches = timesSeconds.at(-1)! > this.lengthSeconds(block) - SAME_CORNER_SECONDS;
    return [starts ? this.border(axis, block) : 0, reaches ? this.border(axis, block + 1) : 0];
  }

  /**
   * What an axis is at the start of a block, for an event there that does not say it: what the event
   * on the other side says, zero where there is none, the middle of a straight line where neither
   * says it.
   */
  private border(axis: number, block: number): number {
    const ids = this.blocks.gradients[axis]!;
    const before = this.waveforms.get(ids[block - 1] ?? 0);
    const after = this.waveforms.get(ids[block] ?? 0);
    const reaches =
      before !== undefined &&
      before.timesSeconds.at(-1)! > this.lengthSeconds(block - 1) - SAME_CORNER_SECONDS;
    const starts = after !== undefined && after.timesSeconds[0]! < SAME_CORNER_SECONDS;
    if (!reaches || !starts) return 0;
    if (!before.open) return before.amplitudes.at(-1)!;
    if (!after.open) return after.amplitudes[0]!;
    return (before.amplitudes.at(-2)! + after.amplitudes[1]!) / 2;
  }

  private lengthSeconds(block: number): number {
    return this.blocks.startsSeconds[block + 1]! - this.blocks.startsSeconds[block]!;
  }
}

function soundingBlocks(
  { blocks }: PulseqSequence,
  waveforms: ReadonlyMap<number, EventWaveform>,
): SoundingBlocks {
  const { unitSeconds } = blocks;
  const columns = [blocks.x, blocks.y, blocks.z] as const;
  const gradients = columns.map(column => new Int32Array(column.length));
  const rotation = new Int32Array(blocks.count);
  const durations = new Float64Array(blocks.count);
  let count = 0;
  let lastSounds = true;
  for (let i = 0; i < blocks.count; i++) {
    if (blocks.durations[i] === 0) continue;
    let sounds = false;
    for (const [axis, column] of columns.entries()) {
      const id = waveforms.has(column[i]!) ? column[i]! : 0;
      gradients[axis]![count] = id;
      if (id !== 0) sounds = true;
    }
    if (sounds || lastSounds) {
      rotation[count] = sounds ? blocks.rotation[i]! : 0;
      durations[count++] = blocks.durations[i]!;
    } else durations[count - 1]! += blocks.durations[i]!;
    lastSounds = sounds;
  }
  const startsSeconds = new Float64Array(count + 1);
  let total = 0;
  for (let i = 0; i < count; i++) {
    total += durations[i]!;
    startsSeconds[i + 1] = total * unitSeconds;
  }
  const [x, y, z] = gradients.map(column => column.subarray(0, count));
  return {
    count,
    startsSeconds,
    durations: durations.subarray(0, count),
    gradients: [x!, y!, z!],
    rotation: rotation.subarray(0, count),
  };
}
