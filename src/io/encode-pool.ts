/**
 * MP3 encoding on all cores. Sounds are rendered here and handed to the workers in blocks, a few
 * seconds ahead, so that memory stays flat.
 *
 * @module
 */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { Mp3Settings } from '../formats/mp3-encoder.js';
import type { Sound } from '../signal/sound.js';
import type { ToPool, ToWorker } from './encode-messages.js';

/** The built file, also when the sources themselves are run. */
const WORKER_FILE = new URL('../../dist/io/encode-worker.js', import.meta.url);

/** Samples handed over at a time. */
const BLOCK_SAMPLES = 65_536;

/** Blocks that may wait at a worker: half a minute of sound, 6 MB. */
const BLOCKS_AHEAD = 24;

/** A pool of encoders. One in which an encoding failed is not used again. */
export class EncodePool {
  /** How many sounds are encoded at once. */
  readonly size: number;
  private readonly all: EncodeWorker[];
  private readonly idle: EncodeWorker[];
  private readonly waiting: ((worker: EncodeWorker) => void)[] = [];

  constructor(size = availableParallelism()) {
    this.size = size;
    this.all = Array.from({ length: size }, () => new EncodeWorker());
    this.idle = [...this.all];
  }

  /** A sound as MP3 without tags. @throws {Error} The sound cannot be encoded, or the pool was closed. */
  async encode(sound: Sound, bitrateKbps: Mp3Settings['bitrateKbps']): Promise<Uint8Array> {
    const worker =
      this.idle.pop() ?? (await new Promise<EncodeWorker>(take => this.waiting.push(take)));
    try {
      return await worker.encode(sound, bitrateKbps);
    } finally {
      const next = this.waiting.shift();
      if (next === undefined) this.idle.push(worker);
      else next(worker);
    }
  }

  /** Ends all workers; what is under way fails. */
  async close(): Promise<void> {
    await Promise.all(this.all.map(worker => worker.close()));
  }
}

/** One worker, one sound at a time. */
class EncodeWorker {
  private readonly worker = new Worker(WORKER_FILE);
  private ahead = 0;
  /** Blocks that came back: a build fills a few dozen, again and again. */
  private readonly empty: Float32Array<ArrayBuffer>[] = [];
  private failure: Error | undefined;
  private file: Uint8Array | undefined;
  /** Wakes `encode` when something has come in. */
  private wake: () => void = () => undefined;

  constructor() {
    this.worker.on('message', (message: ToPool) => {
      if (message.kind === 'taken') {
        this.ahead -= 1;
        if (message.samples.length === BLOCK_SAMPLES) this.empty.push(message.samples);
      } else if (message.kind === 'file') this.file = message.file;
      else this.failure = new Error(message.message);
      this.wake();
    });
    this.worker.on('error', (error: Error) => {
      this.failure = error;
      this.wake();
    });
    this.worker.on('exit', () => {
      this.failure ??= new Error('the encoder was stopped');
      this.wake();
    });
  }

  async encode(sound: Sound, bitrateKbps: Mp3Settings['bitrateKbps']): Promise<Uint8Array> {
    this.file = undefined;
    const { sampleRateHz } = sound;
    this.post({ kind: 'start', settings: { sampleRateHz, bitrateKbps } });
    for (const samples of blocksOf(sound, () => this.empty.pop())) {
      await this.until(() => this.ahead < BLOCKS_AHEAD);
      this.ahead += 1;
      this.post({ kind: 'block', samples }, [samples.buffer]);
    }
    this.post({ kind: 'finish' });
    await this.until(() => this.file !== undefined);
    return this.file!;
  }

  async close(): Promise<void> {
    await this.worker.terminate();
  }

  private post(message: ToWorker, transfer: ArrayBuffer[] = []): void {
    this.worker.postMessage(message, transfer);
  }

  private async until(isTrue: () => boolean): Promise<void> {
    while (this.failure === undefined && !isTrue()) {
      await new Promise<void>(resolve => (this.wake = resolve));
    }
    if (this.failure !== undefined) throw this.failure;
  }
}

/** The samples in blocks of one size, in the precision that the encoder takes. */
function* blocksOf(
  sound: Sound,
  used: () => Float32Array<ArrayBuffer> | undefined,
): Generator<Float32Array<ArrayBuffer>> {
  let block = new Float32Array(BLOCK_SAMPLES);
  let filled = 0;
  for (const samples of sound.blocks()) {
    for (let i = 0; i < samples.length;) {
      const count = Math.min(samples.length - i, BLOCK_SAMPLES - filled);
      block.set(samples.subarray(i, i + count), filled);
      filled += count;
      i += count;
      if (filled < BLOCK_SAMPLES) continue;
      yield block;
      block = used() ?? new Float32Array(BLOCK_SAMPLES);
      filled = 0;
    }
  }
  if (filled > 0) yield block.slice(0, filled);
}
