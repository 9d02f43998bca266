/**
 * What stands in a `study.yaml`, exactly as given. What is left out is filled in by later stages,
 * each value with its origin.
 *
 * @module
 */
import type { FieldName, FieldValue } from './fields.js';
import type { PlanSettings } from './plan-settings.js';
import type { PULSEQ, ScanType } from './scan.js';

/** Version of the study file's format that this program reads and writes. */
export const STUDY_FORMAT = 1;

/** Languages that kits can be written in (BCP 47). */
export const LANGUAGES = ['en', 'es', 'fr', 'ar'] as const;

/** Language of a study that names none. */
export const DEFAULT_LANGUAGE = 'en' satisfies Language;

export type Language = (typeof LANGUAGES)[number];

export const isLanguage = (tag: string): tag is Language =>
  LANGUAGES.some(language => language === tag);

/** Whom a family can ask: at least one of `phone` and `email`. */
export interface Contact {
  readonly name?: string;
  readonly phone?: string;
  readonly email?: string;
}

export interface StudyInfo {
  readonly name: string;
  readonly contact: Contact;
  /** `en` when the file does not say. */
  readonly language: Language;
  /** Seeds everything random. Made from the name when the file does not say. */
  readonly seed: string;
}

/** The scanner as given; see `Scanner` in `scan.ts` for the resolved one. */
export interface ScannerEntry {
  /** Free text. */
  readonly name?: string;
  /** Tesla. */
  readonly MagneticFieldStrength: number;
  /** mT/m. */
  readonly MaximumGradientAmplitude?: number;
  /** T/m/s. */
  readonly MaximumSlewRate?: number;
  /** Name of a response model, or path of the scanner's own, from the folder of this file. */
  readonly response?: string;
  /** Name of an attenuation curve. */
  readonly protection?: string;
}

/** What every scan has. */
interface EntryBase {
  /** Unique in the file: lower-case letters, digits and hyphens. */
  readonly name: string;
  readonly plainName?: string;
  readonly fields: Readonly<Partial<Record<FieldName, FieldValue>>>;
  /** Place of the scan, or of one of its keys, for messages: `study.yaml:12 scans[1].EchoTime`. */
  readonly where: (field?: string) => string;
}

/** A scan of a sequence family. */
export interface FamilyEntry extends EntryBase {
  readonly type: ScanType;
}

/** A scan that is played from a Pulseq file. */
export interface PulseqEntry extends EntryBase {
  readonly type: typeof PULSEQ;
  /** Path of the file, relative to the study file. */
  readonly file: string;
}

/** One scan as given; see `Scan` in `scan.ts` for the resolved one. */
export type ScanEntry = FamilyEntry | PulseqEntry;

/** Name of the recorded cue that closes a step, beside the names of the scans. */
export const END_CUE = 'end';

/** Recorded cues of the study's own. */
export interface CueSettings {
  /** Path of a folder with one folder a language, from the folder of this file. */
  readonly folder: string;
}

export interface StudyTexts {
  /** Sentences of the study's own for the guide. */
  readonly guideNote?: string;
  readonly review?: TextReview;
}

/** A native speaker who has read the words of a language for this study. */
export interface TextReview {
  readonly language: Language;
  readonly by: string;
  /** `YYYY-MM-DD`. */
  readonly date: string;
}

/** Ethics approval of the study's texts. Without it every document says that it is a draft. */
export interface Approval {
  readonly reference: string;
  /** `YYYY-MM-DD`. */
  readonly date: string;
  /** Path of the approved words, from the folder of this file. */
  readonly texts?: string;
  /** SHA-256 of these words, lower-case hexadecimal. */
  readonly textsHash?: string;
}

export interface StudyFile {
  /** Name for messages, for example `study.yaml`. */
  readonly fileName: string;
  readonly study: StudyInfo;
  readonly scanner: ScannerEntry;
  /** In the order of the scan day; at least one. */
  readonly scans: readonly ScanEntry[];
  readonly plan: PlanSettings;
  readonly texts: StudyTexts;
  /** Without it chimes are played. */
  readonly cues?: CueSettings;
  readonly approval?: Approval;
  /**
   * Place of a value for messages: `study.yaml:12 scans[1].EchoTime`. For a path that the file does
   * not hold, the line is that of the nearest part that it does hold.
   */
  readonly where: (path: readonly (string | number)[]) => string;
}
