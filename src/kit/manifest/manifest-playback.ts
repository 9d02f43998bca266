/**
 * The part of `kit.json` on what happens when the volume is not as it should be, and on what small
 * loudspeakers lose.
 *
 * @module
 */

/** A week of practice at one setting of the volume. */
export interface ManifestWeek {
  /** LAeq at the listener's place while the loudest sound plays. */
  readonly laeqDba: number;
  /** Share of the listener's WHO-ITU allowance that the busiest seven days use. */
  readonly weeklyDosePercent: number;
  /** So many minutes of the loudest sound use up the allowance of a week. */
  readonly minutesToWeeklyLimit: number;
  readonly passesWeeklyLimit: boolean;
}

/** A kind of device, turned all the way up. */
export interface ManifestDevice {
  readonly device: string;
  readonly label: string;
  /** Below it the device gives next to nothing. */
  readonly lowEndHertz: number;
  /** Level of the voice reference on it, dBA. */
  readonly voiceDba: { readonly typical: number; readonly worst: number };
  readonly typical: ManifestWeek;
  readonly worst: ManifestWeek;
}

/** What a scan's sound loses on devices that do not reach down to it. */
export interface ManifestLoss {
  readonly scan: string;
  readonly plainName: string;
  /** Middle of the third octave with most A-weighted energy. */
  readonly toneHertz: number;
  /** Share of the A-weighted energy below the low end of each device. */
  readonly belowLowEndPercent: Readonly<Record<string, number>>;
  /** Devices on which it loses what makes it recognisable. */
  readonly unrecognisableOn: readonly string[];
}

export interface ManifestPlayback {
  /** The busiest seven days of the plan. */
  readonly week: { readonly sessions: number; readonly minutes: number };
  /** With the volume set as the page says. */
  readonly asSet: {
    readonly low: ManifestWeek;
    readonly expected: ManifestWeek;
    readonly high: ManifestWeek;
  };
  /** 10 and 20 dB above what is expected. */
  readonly tenTooLoud: ManifestWeek;
  readonly twentyTooLoud: ManifestWeek;
  readonly allTheWayUp: readonly ManifestDevice[];
  /** In the order of the scan day. */
  readonly losses: readonly ManifestLoss[];
  /** All of it in sentences for staff. */
  readonly words: readonly string[];
}
