/**
 * What the study's own staff print for a kit, beside its folder: the family does not get it.
 *
 * @module
 */
import path from 'node:path';
import { UserError } from '../errors.js';
import type { KitContent } from '../kit/content.js';
import { renderLabels } from '../kit/document-labels.js';
import { renderStaffCard } from '../kit/document-staff-card.js';
import { loudnessSheet } from '../kit/loudness-sheet.js';
import { type FolderFile, writeFolder } from './atomic-folder.js';
import { listFiles } from './kit-folder.js';
import type { KitMaterial } from './kit-material.js';

/** For the folder, the stick or disc, and one to spare: a row of the sheet. */
const LABELS = 3;

const STAFF_FILES = ['staff-card.pdf', 'labels.pdf', 'loudness.txt'] as const;

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

/** Writes card, labels and how loud the kit is. @returns Path of their folder. @throws {UserError} `CANNOT_WRITE`. */
export async function writeStaffFolder(
  folder: string,
  content: KitContent,
  { texts, page: { fonts } }: KitMaterial,
  signal?: AbortSignal,
): Promise<string> {
  const { approval, kit, study } = content.manifest;
  const codes = Array.from({ length: LABELS }, () => kit);
  const render: Record<(typeof STAFF_FILES)[number], () => Uint8Array | Promise<Uint8Array>> = {
    'staff-card.pdf': () => renderStaffCard(content, texts, fonts),
    'labels.pdf': () =>
      renderLabels({ study, codes, approval, paper: content.paper }, texts, fonts),
    'loudness.txt': () => new TextEncoder().encode(loudnessSheet(content.manifest)),
  };
  async function* files(): AsyncGenerator<FolderFile> {
    for (const name of STAFF_FILES) yield { path: name, bytes: await render[name]() };
  }
  await writeFolder(staffPath(folder), files(), {
    mayReplace: () => requireStaffFolder(folder),
    ...(signal === undefined ? {} : { signal }),
  });
  return staffPath(folder);
}
