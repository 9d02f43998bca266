/**
 * What every scan of a study will sound like: the numbers behind `describe`.
 *
 * @module
 */
import { strongestHarmonic } from '../acoustics/strongest-harmonic.js';
import { type Line, timelineDurationSeconds } from '../gradients/timeline.js';
import { type LevelRange, scanLevelRange } from '../levels/scan-levels.js';
import { FIELD_NAMES, FIELDS, type FieldName, type FieldValue } from '../protocol/fields.js';
import type { Origin } from '../protocol/origin.js';
import type { Perspective } from '../acoustics/listening.js';
import type { PlayedScan } from '../gradients/timeline.js';
import type { Scan } from '../protocol/scan.js';
import type { Sound } from '../signal/sound.js';

export interface DescribedField {
  readonly name: FieldName;
  readonly value: FieldValue;
  readonly unit: string;
  readonly origin: Origin;
  readonly why: string;
}

export interface DescribedScan {
  readonly name: string;
  readonly plainName: string;
  readonly type: string;
  readonly durationSeconds: number;
  readonly tones: readonly Line[];
  readonly rhythm: readonly Line[];
  readonly levels: {
    readonly boreLaeqDba: LevelRange;
    readonly protectedLaeqDba: LevelRange;
  };
  readonly fields: readonly DescribedField[];
}

export interface StudyDescription {
  readonly study: string;
  readonly scans: readonly DescribedScan[];
}

/** What is described: scans as they are played, and their sounds in Pa at the ear. */
export interface PlayableStudy {
  readonly scans: readonly { readonly scan: Scan; readonly played: PlayedScan }[];
  readonly scanSound: (
    scanName: string,
    wanted: { readonly durationSeconds: number; readonly perspective: Perspective },
  ) => Sound;
}

/** Length of sound that levels are taken from, in s: several repetitions of every family. */
const LISTENED_SECONDS = 20;

/** Excitations or echoes faster than this are a pitch: the scan is a comb, and its harmonics are its tones. */
const PITCH_HZ = 30;

/** Describes every scan; `onScan` is called after each. */
export function describeStudy(
  name: string,
  study: PlayableStudy,
  onScan: () => void = () => undefined,
): StudyDescription {
  const scans = study.scans.map(playable => {
    const description = describeScan(study, playable);
    onScan();
    return description;
  });
  return { study: name, scans };
}

function describeScan(
  study: PlayableStudy,
  { scan, played }: PlayableStudy['scans'][number],
): DescribedScan {
  const inBore = study.scanSound(scan.name, {
    durationSeconds: LISTENED_SECONDS,
    perspective: 'bore',
  });
  const worn = study.scanSound(scan.name, {
    durationSeconds: LISTENED_SECONDS,
    perspective: 'protected',
  });
  const [rate] = played.rhythm;
  const comb = rate !== undefined && rate.hertz >= PITCH_HZ ? (played.comb ?? rate) : undefined;
  const harmonic = comb === undefined ? undefined : strongestHarmonic(inBore, comb.hertz);
  const strongest: readonly Line[] =
    comb === undefined || harmonic === undefined || harmonic === 1
      ? []
      : [
          {
            hertz: harmonic * comb.hertz,
            cause: `harmonic ${harmonic} of ${comb.cause}, the strongest with this response`,
          },
        ];
  return {
    name: scan.name,
    plainName: scan.plainName,
    type: scan.type,
    durationSeconds: timelineDurationSeconds(played.timeline),
    tones: [...strongest, ...played.tones],
    rhythm: played.rhythm,
    levels: {
      boreLaeqDba: scanLevelRange(inBore),
      protectedLaeqDba: scanLevelRange(worn),
    },
    fields: FIELD_NAMES.flatMap(name => {
      const field = scan.fields[name];
      return field === undefined ? [] : [{ name, unit: FIELDS[name].unit, ...field }];
    }),
  };
}
