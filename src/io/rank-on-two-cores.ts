/**
 * Listens to a study's sounds on two cores before a plan is made of them: every second one here, the
 * others in a worker. What comes out is the same.
 *
 * @module
 */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { KitStudy } from '../kit/kit-inputs.js';
import { COMPARED_SECONDS, rankScans, takeRank, unheardScans } from '../kit/audio/rank-scans.js';
import type { RankedSound } from '../levels/gentleness.js';
import { collect } from '../signal/sound.js';
import type { ToRankWorker } from './rank-worker.js';

/** The built file, also when the sources themselves are run. */
const WORKER_FILE = new URL('../../dist/io/rank-worker.js', import.meta.url);

/** With fewer sounds a worker takes longer to start than it saves. */
const FEWEST_SOUNDS = 4;

export async function rankAhead(study: KitStudy): Promise<void> {
  const names = unheardScans(
    study,
    study.scans.map(({ name }) => name),
  );
  if (names.length < FEWEST_SOUNDS || availableParallelism() < 2) return;
  const elsewhere = names.filter((_, i) => i % 2 === 0);
  const worker = new Worker(WORKER_FILE);
  try {
    const ranked = new Promise<readonly RankedSound[]>((resolve, reject) => {
      const heard: RankedSound[] = [];
      worker.on('error', reject);
      worker.on('message', (sound: RankedSound) => {
        heard.push(sound);
        if (heard.length === elsewhere.length) resolve(heard);
      });
    });
    // Awaited below; until then a failure must not count as nobody's.
    ranked.catch(() => undefined);
    for (const name of elsewhere) {
      const samples = Float64Array.from(collect(study.sound(name, COMPARED_SECONDS)));
      const message: ToRankWorker = { name, samples };
      worker.postMessage(message, [samples.buffer]);
    }
    rankScans(
      study,
      names.filter(name => !elsewhere.includes(name)),
    );
    for (const sound of await ranked) takeRank(study, sound);
  } finally {
    await worker.terminate();
  }
}
