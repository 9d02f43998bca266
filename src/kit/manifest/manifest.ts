/**
 * `kit.json`: every number of a kit, in one place. Page, guide and reports take theirs from here.
 *
 * @module
 */
import type { AudioCoding } from '../audio/coding.js';
import type { LogEntry } from '../../practice/log-entry.js';
import type { PlanConstants } from '../../protocol/plan-constants.js';
import type { Contact } from '../../protocol/study-file.js';
import type { ManifestPlayback } from './manifest-playback.js';
import type { SoundPicture } from '../audio/sound-picture.js';

/** An estimate that depends on how the home set the volume: never one number alone. */
export interface LevelInterval {
  readonly low: number;
  readonly expected: number;
  readonly high: number;
}

export interface ManifestSound {
  /** Name of the scan. */
  readonly scan: string;
  /** Name that families read. */
  readonly plainName: string;
  readonly startSeconds: number;
  readonly endSeconds: number;
  /** LAeq between those times minus the voice reference's LAeq, in dB. */
  readonly offsetDb: number;
  /** LAeq between those times, dB re the RMS of a full-scale sine. */
  readonly laeqDbfs: number;
  /** Maximum FAST level between those times, minus the voice reference's LAeq, in dB. */
  readonly lafmaxOffsetDb: number;
  /** From 0, the full sound, to 1, dull and even. */
  readonly softness: number;
}

/** What a whole visit holds beside its scans. */
export interface ManifestInterlude {
  /** `table-motion` or `pre-scan`. */
  readonly kind: string;
  readonly startSeconds: number;
  readonly endSeconds: number;
  /** LAeq between those times, without the scanner's background, minus the voice reference's, in dB. */
  readonly offsetDb: number;
}

/** A sound's place from gentle to hard, and the numbers behind it, at 60 dBA. */
export interface ManifestRank {
  readonly scan: string;
  readonly loudnessSone: number;
  readonly sharpnessAcum: number;
  readonly roughnessAsper: number;
  /** Rise within 50 ms at its start, and the steepest one later, in dB. */
  readonly startDb: number;
  readonly laterDb: number;
  /** All of it in one number; the higher, the harder. */
  readonly hardness: number;
}

/** The plan's constants as they held for a family. */
export type UsedConstants = Omit<PlanConstants, 'soundSensitive' | 'asleep'> & {
  readonly highestOffsetDb: number;
};

export interface ManifestStep {
  readonly number: number;
  /** Path in the kit, forward slashes. */
  readonly file: string;
  /** Of the file, lower-case hexadecimal. */
  readonly sha256: string;
  /** What is new in it: one of `STEP_CHANGES`. */
  readonly change: string;
  /** `gentle`: gentlest sound first; `protocol`: as on the scan day. */
  readonly order: string;
  /** From 0, the full sound, to 1, dull and even. */
  readonly softness: number;
  /** Whether a cue comes before each sound; else there is one before the first. */
  readonly announced: boolean;
  /** What the child does meanwhile: `any` or `lying-still`. */
  readonly posture: string;
  /** Level that the plan wants, dB re the voice reference; a limit may hold a sound below it. */
  readonly plannedOffsetDb: number;
  readonly durationSeconds: number;
  /** Length of the fade at the start of each sound. */
  readonly onsetSeconds: number;
  /** When the short voice is heard at its full level, and that re the voice reference. */
  readonly voice: {
    readonly startSeconds: number;
    readonly endSeconds: number;
    readonly offsetDb: number;
  };
  readonly sounds: readonly ManifestSound[];
  /** In the order they are heard; only in a whole visit. */
  readonly interludes: readonly ManifestInterlude[];
  /** Level at the child's place while the loudest sound plays. */
  readonly estimatedLaeqDba: LevelInterval;
  /** Share of the WHO-ITU weekly allowance if this step is played as often as the plan says, percent. */
  readonly weeklyDosePercent: {
    readonly intended: number;
    readonly tenTooLoud: number;
    readonly twentyTooLoud: number;
  };
}

/** A recorded cue. */
export interface ManifestCue {
  /** Name of the scan that it announces, or `end`. */
  readonly scan: string;
  readonly seconds: number;
  /** Of the recording, lower-case hexadecimal. */
  readonly sha256: string;
}

/** A track of an audio CD. Times in frames of 1/75 s. */
export interface ManifestTrack {
  /** Number of the step; null for the voice reference. */
  readonly step: number | null;
  readonly startFrame: number;
  readonly frames: number;
}

/** An image of an audio CD. */
export interface ManifestDisc {
  /** Path of the image in the kit, forward slashes. */
  readonly file: string;
  /** Of the image, lower-case hexadecimal. */
  readonly sha256: string;
  /** Path of its CUE sheet. */
  readonly cueSheet: string;
  readonly frames: number;
  /** In order; the first has number 1. */
  readonly tracks: readonly ManifestTrack[];
}

/** What page and guide say beside the numbers; it identifies the study, and no family. */
export interface ManifestDocuments {
  /** BCP 47 tag of the texts. */
  readonly language: string;
  /** Whether a native speaker has read all of them. */
  readonly isReviewed: boolean;
  /** SHA-256 of all words that the family reads, see `textsHash`. */
  readonly textsHash: string;
  /** Whom the family calls. */
  readonly contact: Contact;
  /** In the order of the scan day. */
  readonly protocol: readonly {
    readonly name: string;
    readonly plainName: string;
    readonly durationSeconds: number;
  }[];
  /** A paragraph of the study's own; null for none. */
  readonly guideNote: string | null;
}

/** A session as a family noted it; see `LogEntry`. Notes in words are not kept. */
export type ManifestLogEntry = Omit<LogEntry, 'line'>;

/** A plan that this kit had, and why it came to it. */
export interface ManifestVersion {
  /** 1, 2, 3 ... */
  readonly version: number;
  /** Day of the decision, `YYYY-MM-DD`; null for the first plan. */
  readonly asOf: string | null;
  /** What the log led to: one of `ACTIONS`; null for the first plan. */
  readonly action: string | null;
  /** The rule that decided, and its sentence. */
  readonly rule: string | null;
  readonly why: string | null;
  /** Number of the step that was due; null when practice stopped. */
  readonly nextStep: number | null;
  /** What had been noted since the version before. */
  readonly log: readonly ManifestLogEntry[];
  /** How many rows, so far, held a red sign and were no session. */
  readonly redRows: number;
  /** Who let practice begin again, and with which step. */
  readonly restart: { readonly step: number; readonly clearedBy: string } | null;
  readonly startDate: string | null;
  readonly scanDate: string | null;
  readonly days: number;
  readonly sessions: readonly ManifestSession[];
}

export interface ManifestSession {
  readonly day: number;
  readonly date: string | null;
  readonly step: number;
}

export interface Manifest {
  /** Kit code with its check character. */
  readonly kit: string;
  /** 1 when it is built; one more with every new plan. */
  readonly version: number;
  /** Name of the study. */
  readonly study: string;
  /** SHA-256 of the protocol as it was synthesised. */
  readonly protocolHash: string;
  readonly seed: string;
  readonly software: { readonly name: 'softknock'; readonly version: string };
  readonly approval: string | null;
  readonly ageBand: string;
  /** `awake`, `sound-sensitive` or `asleep`. */
  readonly preset: string;
  /** Whose limits hold: `child` or `adult`. */
  readonly listener: string;
  readonly ceiling: {
    /** Expected LAeq that no sound may exceed, dBA. */
    readonly laeqDba: number;
    /** Who raised it above the default, why and when; null for the default. */
    readonly raisedBy: {
      readonly name: string;
      readonly reason: string;
      readonly date: string;
    } | null;
  };
  readonly voiceReference: {
    readonly file: string;
    readonly sha256: string;
    readonly durationSeconds: number;
    readonly laeqDbfs: number;
    /** What ordinary talk is taken to be at the child's place, dBA. */
    readonly assumedDba: LevelInterval;
    /** The family's device, where staff measured it with a sound level meter; null where the ear decides. */
    readonly measured: {
      readonly voiceDba: number;
      readonly device: string;
      readonly by: string;
      readonly date: string;
    } | null;
  };
  /** The sounds from gentle to hard, by what their audio is like; staff can order them otherwise. */
  readonly ranking: readonly ManifestRank[];
  /** The study's recorded cues; none when chimes are played. */
  readonly cues: readonly ManifestCue[];
  /** What the sounds look like, for page and guide. */
  readonly pictures: readonly SoundPicture[];
  readonly steps: readonly ManifestStep[];
  /** The steps as audio CDs; none unless they were asked for. */
  readonly discs: readonly ManifestDisc[];
  /** How the MP3 files are coded, and what that loses. */
  readonly coding: AudioCoding;
  readonly sessions: readonly ManifestSession[];
  /** At other settings of the volume, and on devices that lack bass. */
  readonly playback: ManifestPlayback;
  readonly plan: {
    readonly days: number;
    readonly startDate: string | null;
    readonly scanDate: string | null;
    /** Steps for which the days did not suffice. */
    readonly droppedSteps: number;
    /** The constants it was made from, with what the study set; of the bands the one that was used. */
    readonly constants: UsedConstants;
  };
  readonly documents: ManifestDocuments;
  /** Every plan this kit ever had, the present one last. */
  readonly history: readonly ManifestVersion[];
  /** What was shortened or left out, and why. */
  readonly notes: readonly string[];
}
