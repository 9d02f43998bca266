/**
 * One sound of a study as an audio file.
 *
 * @module
 */
import { timelineDurationSeconds } from '../gradients/timeline.js';
import type { Perspective } from '../acoustics/listening.js';
import { measureSound } from '../levels/measure-sound.js';
import { TRUE_PEAK_GATE_DBTP } from '../levels/limits.js';
import { dbfsToDbSpl } from '../levels/scan-levels.js';
import { dbToAmplitude } from '../signal/decibels.js';
import { shapeSound } from '../signal/shape-sound.js';
import type { LoadedStudy } from './load-study.js';
import { writeWav } from './write-wav.js';

export interface RenderedScan {
  readonly file: string;
  readonly durationSeconds: number;
  readonly sampleRateHertz: number;
  readonly channels: number;
  /** LAeq of the file, dB re the RMS of a full-scale sine. */
  readonly laeqDbfs: number;
  /** Expected LAeq of the sound at the ear in the scanner, dBA. */
  readonly expectedLaeqDba: number;
}

/** Level that files are brought to: that of talk at an ordinary playing volume, with room for peaks. */
const FILE_LAEQ_DBFS = -25;

/**
 * Writes one scan's sound to a new 16-bit mono WAV file, at an ordinary level.
 *
 * @param seconds - Length wanted; the scan's own where it is shorter, or not given.
 * @throws {UserError} The file exists, or cannot be written.
 */
export async function renderScan(
  study: LoadedStudy,
  {
    seconds,
    perspective,
    out,
  }: {
    readonly seconds: number | undefined;
    readonly perspective: Perspective;
    readonly out: string;
  },
): Promise<RenderedScan> {
  const { scan, played } = study.scans[0]!;
  const durationSeconds = Math.min(seconds ?? Infinity, timelineDurationSeconds(played.timeline));
  const sound = study.scanSound(scan.name, { durationSeconds, perspective });
  const { laeqDbfs, truePeakDbtp } = measureSound(sound);
  const gainDb = Math.min(FILE_LAEQ_DBFS - laeqDbfs, TRUE_PEAK_GATE_DBTP - truePeakDbtp);
  await writeWav(
    out,
    shapeSound(sound, { gain: dbToAmplitude(gainDb), fadeInSeconds: 0, fadeOutSeconds: 0 }),
    {
      seed: `${study.file.study.seed}/${scan.name}`,
    },
  );
  return {
    file: out,
    durationSeconds: sound.length / sound.sampleRateHz,
    sampleRateHertz: sound.sampleRateHz,
    channels: 1,
    laeqDbfs: laeqDbfs + gainDb,
    expectedLaeqDba: dbfsToDbSpl(laeqDbfs),
  };
}
