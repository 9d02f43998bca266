/**
 * A kit's folder and a family's log, to the kit with its next plan.
 *
 * @module
 */
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.js';
import { parseSha256Sums } from '../formats/sha256sums.js';
import { familyTexts, textsHash } from '../kit/words/approved-texts.js';
import { LOG_PATH, SUMS_PATH } from '../kit/build.js';
import { buildRevision } from '../kit/build-revision.js';
import { entryOf } from '../practice/coded-entry.js';
import type { KitStudy } from '../kit/kit-inputs.js';
import { decodeLogCode } from '../practice/log-code.js';
import type { Manifest } from '../kit/manifest/manifest.js';
import { readManifest } from '../kit/manifest/read-manifest.js';
import { reviseKit, type Revision } from '../kit/revise-kit.js';
import type { LogEntry } from '../practice/log-entry.js';
import { type LogProblem, readLog } from '../practice/read-log.js';
import { isLanguage } from '../protocol/study-file.js';
import { writeFolder, type FolderFile, type KeptFile } from './atomic-folder.js';
import { diskMemory } from './disk-memory.js';
import { interruptible } from './interrupt.js';
import { changedFiles, listFiles, sha256 } from './kit-folder.js';
import { loadKitMaterial, type KitMaterial } from './kit-material.js';
import { withKitTools } from './kit-tools.js';
import { loadKitStudy } from './load-kit-study.js';
import { readLogText } from './read-log.js';
import { cannotRead } from './read-text.js';

export interface ReviseRequest {
  readonly folder: string;
  /** Path of the log, `-` for standard input. */
  readonly log?: string | undefined;
  /** Or the code that the page shows. */
  readonly code?: string | undefined;
  /** Only for steps that the kit does not have yet. */
  readonly studyFile?: string | undefined;
  readonly today: string;
  readonly scanDate?: string | undefined;
  readonly restart?: { readonly step: number; readonly clearedBy: string } | undefined;
  /** Whether it is only looked at: nothing has to be there to make sounds from. */
  readonly preview: boolean;
}

/** A revision that is decided on and not yet written. */
export interface PreparedRevision {
  readonly folder: string;
  readonly manifest: Manifest;
  readonly revision: Revision;
  /** What was wrong in the log, by line. */
  readonly problems: readonly LogProblem[];
  readonly study: KitStudy | null;
  readonly material: KitMaterial;
  readonly warnings: readonly string[];
}

/**
 * Reads kit and log and decides; nothing is written.
 *
 * @throws {UserError} `BAD_KIT`: no kit, or one that was changed by hand. `BAD_LOG`: the log cannot be
 *   used. `BAD_USAGE`, `UNSAFE`: as {@link reviseKit}; or steps must be made and there is no study.
 */
export async function prepareRevision(request: ReviseRequest): Promise<PreparedRevision> {
  const { folder, today, scanDate, restart } = request;
  const manifest = await readKit(folder);
  const { entries, problems, redRows } = await readFamilyLog(request, manifest);
  const revision = reviseKit(manifest, { entries, redRows, asOf: today, scanDate, restart });
  const material = await materialFor(manifest);
  return {
    folder,
    manifest,
    revision,
    problems: [...problems, ...revision.problems].sort((a, b) => a.line - b.line),
    study:
      request.preview || revision.newSteps.length === 0
        ? null
        : await studyFor(manifest, revision, request),
    material: material.material,
    warnings: [...revision.warnings, ...material.warnings],
  };
}

/**
 * Writes the kit with its new plan in the place of the old one, whole or not at all. Files that do not
 * change are not written again.
 *
 * @throws {UserError} `CANNOT_WRITE`. @throws {InterruptedError} The program was told to stop.
 */
export function writeRevision(
  { folder, manifest, revision, study, material }: PreparedRevision,
  onEncoded?: () => void,
): Promise<Manifest> {
  return interruptible(signal =>
    withKitTools(material, { signal, onEncoded }, async tools => {
      const sums = await sumsOf(folder);
      const { texts } = material;
      let revised: Manifest | undefined;
      async function* files(): AsyncGenerator<FolderFile | KeptFile> {
        const written = new Set<string>();
        const making = buildRevision({ manifest, revision, study, texts, sums }, tools);
        for (;;) {
          const next = await making.next();
          if (next.done === true) {
            revised = next.value;
            break;
          }
          written.add(next.value.path);
          yield next.value;
        }
        for (const file of await listFiles(folder)) {
          if (written.has(file)) continue;
          yield { path: file, keep: path.join(folder, ...file.split('/')) };
        }
      }
      await writeFolder(folder, files(), {
        // Somebody may have changed it while we worked.
        mayReplace: () => requireUnchanged(folder),
        signal,
      });
      return revised!;
    }),
  );
}

async function readKit(folder: string): Promise<Manifest> {
  const files = await listFiles(folder).catch((error: unknown) => {
    throw cannotRead(folder, error);
  });
  const notAKit = (found: string, fix: string): UserError =>
    new UserError('BAD_KIT', `${folder} is not a kit.`, [
      { where: folder, found, allowed: 'the folder that softknock kit made', fix },
    ]);
  if (!files.includes('kit.json') || !files.includes(SUMS_PATH)) {
    throw notAKit(
      `a folder without kit.json or ${SUMS_PATH}`,
      "Give the path of the kit's folder, named like its code.",
    );
  }
  await requireUnchanged(folder);
  try {
    return readManifest(await readFile(path.join(folder, 'kit.json'), 'utf8'));
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw notAKit(
      `kit.json, in which ${error.message}`,
      'If another version of softknock made it, build the kit anew with this one.',
    );
  }
}

/** The log is the one file that a family writes in. */
async function requireUnchanged(folder: string): Promise<void> {
  const changed = (await changedFiles(folder, await listFiles(folder))).filter(
    change => change !== `${LOG_PATH} is not as it was written`,
  );
  if (changed.length === 0) return;
  throw new UserError(
    'BAD_KIT',
    `${folder} was changed by hand; nothing was written.`,
    changed.map(found => ({
      where: folder,
      found,
      allowed: `the files as softknock wrote them; only ${LOG_PATH} may be filled in`,
      fix: 'Put the file back as it was, or revise the copy of the kit that the study keeps.',
    })),
  );
}

interface FamilyLog {
  readonly entries: readonly LogEntry[];
  readonly problems: readonly LogProblem[];
  readonly redRows: number;
}

async function readFamilyLog(
  { log, code, today }: ReviseRequest,
  { kit, steps, plan }: Manifest,
): Promise<FamilyLog> {
  const numbers = steps.map(({ number }) => number);
  if (code !== undefined) {
    const practices = decodeLogCode(code, kit);
    const entries = practices.map((practice, i) => entryOf(practice, i + 1));
    const isUsable = ({ date, step }: LogEntry): boolean => date <= today && numbers.includes(step);
    return {
      entries: entries.filter(isUsable),
      problems: entries
        .filter(entry => !isUsable(entry))
        .map(({ line, date, step }) => ({
          line,
          column: date > today ? 'date' : 'step',
          found: date > today ? date : `step ${step}`,
          used: 'nothing of this session: its day is still to come, or the kit has no such step',
        })),
      redRows: 0,
    };
  }
  if (log === undefined) return { entries: [], problems: [], redRows: 0 };
  const text = await readLogText(log);
  const file = log === '-' ? 'standard input' : log;
  const { redMark } = plan.constants.rules;
  const reading = readLog(text, { kit, steps: numbers, today, file, redMark });
  const { entries, problems, redElsewhere } = reading;
  return { entries, problems, redRows: redElsewhere.length };
}

/** Words and typefaces; the words must be those that the family had. */
async function materialFor(
  manifest: Manifest,
): Promise<{ readonly material: KitMaterial; readonly warnings: readonly string[] }> {
  const { documents, study, approval } = manifest;
  const { language, isReviewed, guideNote, protocol } = documents;
  if (!isLanguage(language)) {
    throw new UserError('BAD_KIT', 'This kit is in a language that this version does not write.', [
      {
        where: 'kit.json documents.language',
        found: language,
        allowed: 'a language of this version',
        fix: 'Use the version of softknock that made the kit.',
      },
    ]);
  }
  const loaded = await loadKitMaterial(language);
  const texts = isReviewed ? { ...loaded.texts, unreviewed: [] } : loaded.texts;
  const hash = textsHash(
    familyTexts(texts, {
      name: study,
      guideNote: guideNote ?? undefined,
      scans: protocol.map(({ durationSeconds, ...scan }) => ({
        ...scan,
        durationSeconds: durationSeconds,
      })),
    }),
    sha256,
  );
  const material = { ...loaded, texts };
  if (hash === documents.textsHash) return { material, warnings: [] };
  const { software } = manifest;
  if (approval === null) {
    return {
      material,
      warnings: [
        `Page and guide have other words than when the kit was made (softknock ${software.version}).`,
      ],
    };
  }
  throw new UserError('BAD_KIT', 'The words are no longer those that were approved.', [
    {
      where: folderOf(manifest),
      found: `words of this version of softknock; the kit was made with ${software.version}`,
      allowed: `the words that were approved under ${approval}`,
      fix: 'Use the version of softknock that made the kit, or have the new words approved and build the kit anew.',
    },
  ]);
}

const folderOf = ({ kit }: Manifest): string => `kit ${kit}`;

/** The study of the kit: its protocol must be the one that the family heard. */
async function studyFor(
  manifest: Manifest,
  { newSteps }: Revision,
  { studyFile }: ReviseRequest,
): Promise<KitStudy> {
  const numbers = newSteps.map(({ number }) => number).join(', ');
  if (studyFile === undefined) {
    throw new UserError('BAD_USAGE', 'The next plan needs sounds that the kit does not have yet.', [
      {
        where: '--study',
        found: `step ${numbers}, which has to be made`,
        allowed: 'the study file that the kit was made from',
        fix: 'Add --study with its path.',
      },
    ]);
  }
  const { study } = await loadKitStudy(studyFile, diskMemory());
  if (study.protocolHash === manifest.protocolHash) return study;
  throw new UserError('BAD_STUDY', 'The protocol is not the one that this kit was made from.', [
    {
      where: studyFile,
      found: `protocol ${study.protocolHash.slice(0, 12)}...`,
      allowed: `protocol ${manifest.protocolHash.slice(0, 12)}... of ${folderOf(manifest)}`,
      fix: 'Give the study file as it was, or build a new kit from the new protocol.',
    },
  ]);
}

async function sumsOf(folder: string): Promise<ReadonlyMap<string, string>> {
  const sums = parseSha256Sums(await readFile(path.join(folder, SUMS_PATH), 'utf8'))!;
  const byPath = new Map(sums.map(sum => [sum.path, sum.sha256]));
  // As the family filled it in.
  byPath.set(LOG_PATH, sha256(await readFile(path.join(folder, LOG_PATH))));
  return byPath;
}
