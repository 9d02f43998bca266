/**
 * What the study's own staff print for a kit, beside its folder: the family does not get it.
 *
 * @module
 */
import path from 'node:path';
import { UserError } from '../errors.js';
import type { KitContent } from '../kit/content.js';
import { renderLabels } from '../kit/paper/labels.js';
import { renderStaffCard } from '../kit/paper/staff-card.js';
import { loudnessSheet } from '../kit/paper/loudness-sheet.js';
import { kindOf, textsFor } from '../kit/words/texts-for.js';
import { type FolderFile, writeFolder } from './atomic-folder.js';
import { listFiles } from './kit-folder.js';
import type { KitMaterial } from './kit-material.js';

/** The whole visit, for the study's own practice room. */
const ROOM_FILE = 'practice-room.mp3';

/** For the folder, the stick or disc, and one to spare: a row of the sheet. */
const LABELS = 3;

const STAFF_FILES = ['staff-card.pdf', 'labels.pdf', 'loudness.txt', ROOM_FILE] as const;

/** Where the folder for staff of a kit's folder goes. */
const staffPath = (folder: string): string => `${folder}-for-staff`;

/** @throws {UserError} `CANNOT_WRITE`: something that we did not write is there. */
export async function requireStaffFolder(folder: string): Promise<void> {
  const place = staffPath(folder);
  const files = await listFiles(place).catch((error: unknown) => {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
    // A file of that name: not ours.
    return [path.basename(place)];
  });
  const foreign = files.find(file => !STAFF_FILES.some(name => name === file));
  if (foreign === undefined) return;
  throw new UserError('CANNOT_WRITE', `${place} is there already and was not touched.`, [
    {
      where: place,
      found: foreign,
      allowed: `no folder of that name, or one with ${STAFF_FILES.join(', ')}`,
      fix: 'Move it away, or choose another folder with --out.',
    },
  ]);
}

export interface StaffFolderOptions {
  readonly material: KitMaterial;
  /** The whole visit as MP3; null where the child sleeps. */
  readonly practiceRoom: Uint8Array | null;
  readonly signal?: AbortSignal | undefined;
}

/**
 * Writes card, labels, how loud the kit is, and the visit for the practice room.
 *
 * @returns Path of their folder.
 * @throws {UserError} `CANNOT_WRITE`.
 */
export async function writeStaffFolder(
  folder: string,
  content: KitContent,
  { material, practiceRoom, signal }: StaffFolderOptions,
): Promise<string> {
  const { approval, kit, study } = content.manifest;
  const { texts, page } = material;
  const { fonts } = page;
  const codes = Array.from({ length: LABELS }, () => kit);
  async function* files(): AsyncGenerator<FolderFile> {
    yield {
      path: 'staff-card.pdf',
      bytes: await renderStaffCard(content, textsFor(texts, kindOf(content.manifest)), fonts),
    };
    const labels = { study, codes, approval, paper: content.paper };
    yield { path: 'labels.pdf', bytes: await renderLabels(labels, texts, fonts) };
    const loudness = loudnessSheet(content.manifest);
    yield { path: 'loudness.txt', bytes: new TextEncoder().encode(loudness) };
    if (practiceRoom !== null) yield { path: ROOM_FILE, bytes: practiceRoom };
  }
  await writeFolder(staffPath(folder), files(), {
    mayReplace: () => requireStaffFolder(folder),
    signal,
  });
  return staffPath(folder);
}
