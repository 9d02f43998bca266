/**
 * The library's face: what programs may use, by name. Everything else may change at any time.
 *
 * From a study file to sound, and to its levels:
 *
 * @example
 * import { loadStudy, measureSound, writeWav } from 'softknock';
 *
 * const study = await loadStudy('study.yaml');
 * // In Pa at the ear, made as it is read: an hour takes no more memory than a second.
 * const sound = study.scanSound('func-rest', { durationSeconds: 60, perspective: 'protected' });
 * console.log(measureSound(sound).laeqDbfs);
 *
 * @module
 */

// What goes wrong, with place, what is allowed, and the fix.
export { type Problem, UserError } from './errors.js';

// Studies: read, imported, and as sound.
export { importPaths } from './io/import-paths.js';
export { type LoadedScan, type LoadedStudy, loadStudy, type WantedSound } from './io/load-study.js';
export { draftOfImport } from './import/import-draft.js';
export type { ImportResult } from './import/import-sidecars.js';
export { writeStudyFile } from './protocol/write-study-file.js';

// Sound.
export { collect, SAMPLE_RATE_HZ, type Sound, soundOf } from './signal/sound.js';
export { writeWav, type WriteWavOptions } from './io/write-wav.js';

// Levels.
export { measureFile, type MeasuredFile } from './io/measure-file.js';
export { type BandPower, ThirdOctaves } from './levels/third-octaves.js';
export { dbfsToDbSpl } from './levels/scan-levels.js';
export type { LafPercentiles, Levels, ThirdOctaveLevel } from './levels/levels.js';
export { measureSound } from './levels/measure-sound.js';
export { Meter, type MeterOptions } from './levels/meter.js';
export { type NamedSound, type RankedSound, rankSounds } from './levels/gentleness.js';

// Sound dose, and the limits that no option moves.
export { type DoseLimit, doseLimits, dosePercent } from './levels/dose-limits.js';
export { type Exposure, weeklyDosePercent } from './levels/weekly-dose.js';
export { GATES, type Gates, type Listener, MOST_MINUTES } from './levels/limits.js';

// Kits: decided on, built, revised, verified. What passes a gate throws a `UserError`.
export {
  type KitRequest,
  type MadeKit,
  makeKit,
  type MakeKitOptions,
  prepareKit,
  type PreparedKit,
} from './io/make-kit.js';
export {
  type PreparedRevision,
  prepareRevision,
  type ReviseRequest,
  writeRevision,
} from './io/revise-folder.js';
export { verifyFolder } from './io/verify-folder.js';
export type { Manifest } from './kit/manifest/manifest.js';
export type { Verification } from './kit/verify/verify-kit.js';
