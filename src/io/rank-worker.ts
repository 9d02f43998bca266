/**
 * A worker that says how hard sounds are. Its only partner is `rank-ahead.ts`.
 *
 * @module
 */
import { parentPort } from 'node:worker_threads';
import { rankSounds, type RankedSound } from '../levels/gentleness.js';
import { soundOf } from '../signal/sound.js';

/** A sound to listen to. */
export interface ToRankWorker {
  readonly name: string;
  readonly samples: Float64Array<ArrayBuffer>;
}

if (parentPort === null) throw new Error('this file runs in a worker only');
const port = parentPort;

port.on('message', ({ name, samples }: ToRankWorker) => {
  const [ranked] = rankSounds([{ name, sound: soundOf(samples) }]);
  port.postMessage(ranked satisfies RankedSound | undefined);
});
