/**
 * Who cleared which kit: a table for the study, beside the kits and in none of them.
 *
 * Rows are only ever added, each in one write at the end of the file, so that builds that run at the
 * same time keep each other's. The file can be read by its owner alone: it names staff, and says of a
 * kit code what was asked about a child's health.
 *
 * @module
 */
import { constants } from 'node:fs';
import { type FileHandle, lstat, open } from 'node:fs/promises';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { UserError } from '../errors.js';
import { csvTable } from '../formats/csv-table.js';
import { inWords } from './cannot-write.js';
import { makeFolders } from './make-folders.js';

/** Its name, in the folder of the kits. */
export const CLEARANCES_FILE = 'clearances.csv';

export interface ClearanceRow {
  /** Code of the kit. */
  readonly kit: string;
  /** What was answered with yes. */
  readonly flags: readonly string[];
  readonly clearedBy: string;
  /** `YYYY-MM-DD`. */
  readonly clearedOn: string;
}

const COLUMNS = ['kit', 'intake', 'cleared_by', 'cleared_on'] as const;

const HEAD = csvTable([COLUMNS]);

/** Another build that has just made the file writes its head within this, in ms. */
const HEAD_WAIT_MS = 25;
const HEAD_TRIES = 40;

/**
 * Adds a clearance, unless the very same one stands there already.
 *
 * @param folder - Where the kits are made; it is made when it is not there.
 * @returns Path of the table.
 * @throws {UserError} `CANNOT_WRITE`: no place to write, or something else has that name.
 */
export async function recordClearance(folder: string, row: ClearanceRow): Promise<string> {
  const file = path.join(folder, CLEARANCES_FILE);
  const line = csvTable([[row.kit, row.flags.join(';'), row.clearedBy, row.clearedOn]]);
  return inWords(file, async () => {
    await makeFolders(folder);
    await requirePlainFile(file);
    await begin(file);
    // On Windows O_NOFOLLOW is undefined, which adds nothing.
    const { O_RDWR, O_APPEND, O_NOFOLLOW } = constants;
    const handle = await open(file, O_RDWR | O_APPEND | O_NOFOLLOW);
    try {
      const text = await withHead(handle, file);
      if (text.includes(`\n${line}`)) return file;
      // A row that a crash cut off stays as it is, on a line of its own.
      await handle.write(text.endsWith('\n') ? line : `\r\n${line}`);
      await handle.sync();
    } finally {
      await handle.close();
    }
    return file;
  });
}

/** Makes the table with its head, where there is none. */
async function begin(file: string): Promise<void> {
  let handle: FileHandle;
  try {
    handle = await open(file, 'wx', 0o600);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return;
    throw error;
  }
  try {
    await handle.writeFile(HEAD);
  } finally {
    await handle.close();
  }
}

async function withHead(handle: FileHandle, file: string): Promise<string> {
  for (let tries = 1; ; tries++) {
    const { size } = await handle.stat();
    const bytes = new Uint8Array(size);
    await handle.read(bytes, 0, size, 0);
    const text = new TextDecoder().decode(bytes);
    if (text.startsWith(HEAD)) return text;
    if (!HEAD.startsWith(text) || tries === HEAD_TRIES) throw notOurs(file);
    await pause(HEAD_WAIT_MS);
  }
}

async function requirePlainFile(file: string): Promise<void> {
  const stats = await lstat(file).catch((error: unknown) => {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  });
  if (stats !== undefined && !stats.isFile()) throw notOurs(file);
}

const notOurs = (file: string): UserError =>
  new UserError('CANNOT_WRITE', `${file} is there already and was not touched.`, [
    {
      where: file,
      found: 'something that is not the table of clearances',
      allowed: `no file of that name, or one that starts with ${COLUMNS.join(',')}`,
      fix: 'Move it away, or choose another folder with --out.',
    },
  ]);
