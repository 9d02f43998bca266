/** Time of ranking the demo study's scans, 6 s of each. */
import { bench } from 'vitest';
import { rankSounds } from '../../src/levels/gentleness.js';
import { collect, soundOf } from '../../src/signal/sound.js';
import { nightSky } from '../helpers/study.js';

const study = nightSky();

const sounds = study.scans.map(({ scan }) => ({
  name: scan.name,
  sound: soundOf(
    collect(study.scanSound(scan.name, { durationSeconds: 6, perspective: 'protected' })),
  ),
}));

bench(
  `rank ${sounds.length} scans of 6 s`,
  () => {
    rankSounds(sounds);
  },
  { iterations: 5, warmupIterations: 1 },
);
