/**
 * What a family's page and guide are made from. Every number they show stands in the manifest; the
 * rest here is names and words.
 *
 * Nothing in it is trusted to be plain: names and notes come from a study file and may hold any
 * character. Whoever prints them escapes them for the place.
 *
 * @module
 */
import type { Contact } from '../protocol/study-file.js';
import type { Manifest } from './manifest/manifest.js';

/** One scan of the study, as a family hears of it. */
export interface ProtocolScan {
  /** Name of the scan, as in the manifest's sounds. */
  readonly name: string;
  /** Name that families read. */
  readonly plainName: string;
  /** How long it takes on the day, in s. */
  readonly durationSeconds: number;
}

export interface KitContent {
  readonly manifest: Manifest;
  /** Whom the family calls. */
  readonly contact: Contact;
  /** BCP 47 tag of the texts, for example `en` or `ar`. */
  readonly language: string;
  /** Day of the scan, `YYYY-MM-DD`, or null when it is not fixed. */
  readonly scanDate: string | null;
  /** In the order of the day. */
  readonly protocol: readonly ProtocolScan[];
  /** A paragraph of the study's own for the guide. */
  readonly guideNote?: string | undefined;
  /** Size of paper; A4 when not given. */
  readonly paper?: 'A4' | 'Letter' | undefined;
}
