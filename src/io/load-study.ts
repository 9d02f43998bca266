/**
 * A study file made playable: every scan with all its fields, its gradient timeline, and its sound.
 *
 * @module
 */
import path from 'node:path';
import { backgroundSounds } from '../acoustics/background.js';
import type { Perspective } from '../acoustics/listening.js';
import type { ScannerResponse } from '../acoustics/response.js';
import type { Protection } from '../acoustics/protection.js';
import { type Synthesiser, synthesiser } from '../acoustics/synthesise.js';
import { tableMotion } from '../acoustics/table-motion.js';
import { type Problem, UserError } from '../errors.js';
import { UnplayableError } from '../gradients/hardware.js';
import { playScan } from '../gradients/play.js';
import { PRE_SCAN_SECONDS, preScan } from '../gradients/pre-scan.js';
import { type PlayedScan, timelineDurationSeconds } from '../gradients/timeline.js';
import { didYouMean } from '../protocol/did-you-mean.js';
import { unheardExtension } from '../import/import-pulseq.js';
import {
  genericResponseName,
  resolvePulseqScan,
  resolveScan,
  resolveScanner,
} from '../protocol/resolve.js';
import { PULSEQ, type Scan, type Scanner } from '../protocol/scan.js';
import type { StudyFile } from '../protocol/study-file.js';
import { mix } from '../signal/mix.js';
import type { Sound } from '../signal/sound.js';
import { type Library, loadLibrary } from './library.js';
import { loadResponse } from './load-response.js';
import { readSequences, type ReadSequence } from './read-pulseq.js';
import { readStudy } from './read-study.js';

/** A scan with its timeline. */
export interface LoadedScan {
  readonly scan: Scan;
  readonly played: PlayedScan;
}

export interface LoadedStudy {
  readonly file: StudyFile;
  readonly scanner: Scanner;
  readonly scans: readonly LoadedScan[];
  readonly response: ScannerResponse;
  /** What is worn in the scan. */
  readonly protection: Protection;
  /** What is not in the sound, as sentences for staff. */
  readonly warnings: readonly string[];
  /** The sound of a scan from its start, in Pa at the ear, background included. */
  readonly scanSound: (scanName: string, wanted: WantedSound) => Sound;
  /** What is heard between scans, in Pa at the ear: background, then pre-scan to its end. */
  readonly pauseSound: (wanted: WantedSound) => Sound;
  /** The scanner without gradients, in Pa at the ear. */
  readonly backgroundSound: (wanted: WantedSound) => Sound;
  /** Pre-scan from its start, in Pa at the ear, without background; silent after its end. */
  readonly preScanSound: (wanted: WantedSound) => Sound;
  /** A ride of the table, likewise. */
  readonly tableSound: (wanted: WantedSound) => Sound;
}

export interface WantedSound {
  /** Most seconds; a scan that is shorter ends by itself. */
  readonly durationSeconds: number;
  readonly perspective: Perspective;
}

/**
 * Reads and prepares a study.
 *
 * @throws {UserError} The file cannot be read or understood, or holds scans that cannot be played.
 */
export async function loadStudy(studyPath: string): Promise<LoadedStudy> {
  const [file, library] = await Promise.all([readStudy(studyPath), loadLibrary()]);
  const { scanner } = file;
  const sequences = await readSequences(file, path.dirname(studyPath));
  const own =
    scanner.response === undefined
      ? undefined
      : await loadResponse(
          scanner.response,
          path.dirname(studyPath),
          file.where(['scanner', 'response']),
          library,
          genericResponse(scanner.MagneticFieldStrength, library),
        );
  return prepareStudy(file, library, own, sequences);
}

/**
 * {@link loadStudy} for a study that has been read.
 *
 * @param response - The scanner's response; the generic one for its field strength if not given.
 * @param sequences - What scans of type `pulseq` are played from, by their `file`.
 * @throws {UserError} The study holds scans that cannot be played.
 */
export function prepareStudy(
  file: StudyFile,
  library: Library,
  response = genericResponse(file.scanner.MagneticFieldStrength, library),
  sequences: Sequences = new Map(),
): LoadedStudy {
  const scanner = resolveScanner(file.scanner, key => file.where(['scanner', key]));
  const scans = playAll(file, scanner, library, sequences);
  const byName = new Map(scans.map(loaded => [loaded.scan.name, loaded]));
  const worn = protectionOf(file, scanner, library);
  const ears = { bore: earIn('bore'), protected: earIn('protected') };

  /** One place of listening; everything computed for it is kept for the next sound. */
  function earIn(perspective: Perspective): Ear {
    const protection = perspective === 'protected' ? worn : undefined;
    const fieldStrength = scanner.MagneticFieldStrength.value;
    return {
      gradients: synthesiser({ response, fieldStrength, protection }),
      background: backgroundSounds(protection, file.study.seed),
      protection,
    };
  }

  return {
    file,
    scanner,
    scans,
    response,
    protection: worn,
    warnings: sequenceWarnings(sequences),
    scanSound: (scanName, { durationSeconds, perspective }) => {
      const loaded = byName.get(scanName);
      if (loaded === undefined) throw new RangeError(`the study has no scan ${scanName}`);
      const { gradients, background, protection } = ears[perspective];
      const { timeline, source } = loaded.played;
      const sound = mix(gradients.sound(timeline, durationSeconds), background(durationSeconds));
      if (source === undefined) return sound;
      return mix(sound, tableMotion(timelineDurationSeconds(timeline), protection));
    },
    pauseSound: ({ durationSeconds, perspective }) => {
      const { gradients, background } = ears[perspective];
      const wait = { durationSeconds: durationSeconds - PRE_SCAN_SECONDS, repeats: 1, layers: [] };
      const segments = [...(wait.durationSeconds > 0 ? [wait] : []), ...preScan(scanner).segments];
      return mix(gradients.sound({ segments }, durationSeconds), background(durationSeconds));
    },
    backgroundSound: ({ durationSeconds, perspective }) =>
      ears[perspective].background(durationSeconds),
    preScanSound: ({ durationSeconds, perspective }) => {
      const rest = { durationSeconds: durationSeconds - PRE_SCAN_SECONDS, repeats: 1, layers: [] };
      const { segments } = preScan(scanner);
      return ears[perspective].gradients.sound(
        { segments: rest.durationSeconds > 0 ? [...segments, rest] : segments },
        durationSeconds,
      );
    },
    tableSound: ({ durationSeconds, perspective }) =>
      tableMotion(durationSeconds, ears[perspective].protection),
  };
}

/**
 * The study with only the scan of a name, or as it is where no name is given.
 *
 * @throws {UserError} The study has no such scan.
 */
export function selectScans(study: LoadedStudy, name: string | undefined): LoadedStudy {
  if (name === undefined) return study;
  const scans = study.scans.filter(({ scan }) => scan.name === name);
  if (scans.length > 0) return { ...study, scans };
  const names = study.scans.map(({ scan }) => scan.name);
  throw new UserError('BAD_USAGE', `There is no scan "${name}" in ${study.file.fileName}.`, [
    {
      where: '--scan',
      found: `"${name}"`,
      allowed: names.join(', '),
      fix: `Name one of these scans.${near(name, names)}`,
    },
  ]);
}

/** What of Pulseq files is left out. */
function sequenceWarnings(sequences: Sequences): readonly string[] {
  return [...sequences].flatMap(([file, { sequence }]) =>
    sequence.unknownExtensions.map(name => `${file}: ${unheardExtension(name)}`),
  );
}

/** Sequences by the path that the study file gives. */
type Sequences = ReadonlyMap<string, ReadSequence>;

/** What is heard at one place. */
interface Ear {
  readonly gradients: Synthesiser;
  readonly background: (durationSeconds: number) => Sound;
  readonly protection: Protection | undefined;
}

/** Every scan played; every one that cannot be is a problem of one error. */
function playAll(
  file: StudyFile,
  scanner: Scanner,
  library: Library,
  sequences: Sequences,
): readonly LoadedScan[] {
  const problems: Problem[] = [];
  const loaded = file.scans.flatMap(entry => {
    if (entry.type === PULSEQ) {
      const read = sequences.get(entry.file);
      if (read === undefined) throw new RangeError(`no sequence was read for ${entry.file}`);
      const scan = resolvePulseqScan(entry, read.fileHash);
      return [{ scan, played: playScan(scan, scanner, read.sequence) }];
    }
    const scan = resolveScan(entry, library.typicalScans[entry.type]);
    try {
      return [{ scan, played: playScan(scan, scanner) }];
    } catch (error) {
      if (!(error instanceof UnplayableError)) throw error;
      problems.push(problemOf(error, scan, entry.where(error.field)));
      return [];
    }
  });
  if (problems.length > 0) {
    throw new UserError(
      'BAD_STUDY',
      `${file.fileName}: ${problems.length === 1 ? 'one scan' : `${problems.length} scans`} cannot be played.`,
      problems,
    );
  }
  return loaded;
}

/** The problem in the user's words; a field that was not given says where its value is from. */
function problemOf(error: UnplayableError, scan: Scan, where: string): Problem {
  const field = scan.fields[error.field];
  const note =
    field === undefined || field.origin === 'given'
      ? ''
      : ` (${error.field} is ${field.origin}: ${field.why})`;
  return { where, found: `${error.found}${note}`, allowed: error.allowed, fix: error.fix };
}

function near(name: string, names: readonly string[]): string {
  const guess = didYouMean(name, names);
  return guess === undefined ? '' : ` Did you mean ${guess}?`;
}

function protectionOf(file: StudyFile, scanner: Scanner, library: Library): Protection {
  const name = scanner.protection.value;
  const protection = library.protections.get(name);
  if (protection !== undefined) return protection;
  const names = [...library.protections.keys()];
  throw new UserError('BAD_STUDY', 'The study names hearing protection that is not known.', [
    {
      where: file.where(['scanner', 'protection']),
      found: `protection "${name}"`,
      allowed: names.join(', '),
      fix: `Name one of these, or leave protection out.${near(name, names)}`,
    },
  ]);
}

function genericResponse(tesla: number, library: Library): ScannerResponse {
  const name = genericResponseName(tesla);
  const response = library.responses.get(name);
  if (response === undefined) throw new Error(`no response ${name}`);
  return response;
}
