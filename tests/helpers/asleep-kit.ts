/** The kit of a baby who is scanned asleep, without its audio. */
import type { Manifest } from '../../src/kit/manifest/manifest.js';
import { plannedManifest } from './planned-kit.js';

export const asleepManifest = (): Manifest =>
  plannedManifest('baby', {
    ageBand: '0-1',
    preset: 'asleep',
    startDate: '2027-06-01',
    scanDate: '2027-06-14',
  });
