/**
 * Synthesis speed: how long one minute of each scan of the demo study takes, with everything that a
 * minute needs computed anew (`cold`) or kept from before (`warm`).
 */
import { bench, describe } from 'vitest';
import { synthesiser } from '../../src/acoustics/synthesise.js';
import type { Sound } from '../../src/signal/sound.js';
import { library, nightSky } from '../helpers/study.js';

const listening = {
  response: library.responses.get('generic-3t')!,
  fieldStrength: 3,
  protection: undefined,
};

/** Reads a sound to its end. */
function drain(sound: Sound): number {
  let samples = 0;
  for (const block of sound.blocks()) samples += block.length;
  return samples;
}

const MINUTE_SECONDS = 60;

describe.each(nightSky().scans.map(({ scan, played }) => ({ name: scan.name, played })))(
  'one minute of $name',
  ({ played }) => {
    const kept = synthesiser(listening);
    drain(kept.sound(played.timeline, MINUTE_SECONDS));
    bench('cold', () => {
      drain(synthesiser(listening).sound(played.timeline, MINUTE_SECONDS));
    });
    bench('warm', () => {
      drain(kept.sound(played.timeline, MINUTE_SECONDS));
    });
  },
);
