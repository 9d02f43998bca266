/**
 * What a device makes of a file's levels at the listener's place, and what a week of it amounts to.
 *
 * Devices are taken to be linear: real ones limit and distort before they are as loud as that, so
 * levels at full volume are on the safe side. Levels of headphones are those of the free field that
 * sounds as loud, as in EN 50332 and ITU-T H.870: a level at the eardrum is higher by 2 to 17 dB.
 *
 * @module
 */
import type { Listener } from './limits.js';
import { allowedWeeklySeconds, weeklyDosePercent } from './weekly-dose.js';

/** Devices of one kind. */
export interface DeviceClass {
  /** For JSON. */
  readonly name: string;
  /** For people: `the loudspeaker of a phone`. */
  readonly label: string;
  /** Below this the device gives next to nothing, in Hz. */
  readonly lowEndHz: number;
  /** At full volume, what comes of an A-weighted level of 0 dB re a full-scale sine, in dBA. */
  readonly fullVolume: {
    readonly typicalDba: number;
    readonly worstDba: number;
  };
}

/** A stretch of what is heard, re the voice reference. */
export interface HeardStretch {
  /** LAeq re the voice reference's, in dB. */
  readonly offsetDb: number;
  readonly durationSeconds: number;
}

/** A week of practice at one setting of the volume. */
export interface WeekAtVolume {
  /** LAeq while the loudest stretch is heard, in dBA; `-Infinity` for a week of nothing. */
  readonly laeqDba: number;
  /** Share of the listener's WHO-ITU allowance, in percent. */
  readonly weeklyDosePercent: number;
  /** So many minutes of the loudest stretch use up the allowance of a week. */
  readonly minutesToLimit: number;
  /** Whether the week uses up its allowance. */
  readonly passesLimit: boolean;
}

/**
 * A week of practice, when the voice reference is heard at `voiceDba`.
 *
 * @param week - All that is heard in seven days, the voice reference too: soft sounds count.
 */
export function weekAtVolume(
  week: readonly HeardStretch[],
  voiceDba: number,
  listener: Listener,
): WeekAtVolume {
  const laeqDba = week.reduce((top, { offsetDb }) => Math.max(top, voiceDba + offsetDb), -Infinity);
  const dose = weeklyDosePercent(
    week.map(({ offsetDb, durationSeconds }) => ({
      levelDba: voiceDba + offsetDb,
      durationSeconds,
    })),
    listener,
  );
  return {
    laeqDba,
    weeklyDosePercent: dose,
    minutesToLimit: allowedWeeklySeconds(laeqDba, listener) / 60,
    passesLimit: dose >= 100,
  };
}

/**
 * Level of the voice reference on a device at full volume, in dBA.
 *
 * @param voiceLaeqDbfs - Its level in the file.
 */
export const voiceAtFullVolume = (
  { fullVolume }: DeviceClass,
  voiceLaeqDbfs: number,
): { readonly typical: number; readonly worst: number } => ({
  typical: fullVolume.typicalDba + voiceLaeqDbfs,
  worst: fullVolume.worstDba + voiceLaeqDbfs,
});
