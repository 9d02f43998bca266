/**
 * The beginnings of many files, read ahead a few at a time and given in their order.
 *
 * @module
 */
import { type FileHandle, open } from 'node:fs/promises';

export interface Head {
  /** From the first byte of the file on; good until the next head is asked for. */
  readonly bytes: Uint8Array;
  /** Whether there is no more to read, in the file or because of its size. */
  readonly isWhole: boolean;
  /** The same file, four times as much of it. */
  readonly more: () => Promise<Head>;
}

/** A head, or why there is none. */
export type HeadResult = Head | { readonly why: string };

/** Files that are read at the same time. */
const AHEAD = 8;

/** Bytes of a file that are read first. */
const FIRST_BYTES = 64 * 1024;

/** Once files needed more, this much is read of those that follow. */
const USUAL_BYTES = 256 * 1024;

/** Bytes at which reading stops; headers of 40 000 frames have 40 MB. */
const MAX_BYTES = 64 * 1024 * 1024;

/** What system errors mean to a user. */
const CAUSES: Readonly<Record<string, string>> = {
  ENOENT: 'a link to a file that is not here',
  EISDIR: 'a folder, not a file',
  ELOOP: 'links that lead in a circle',
};

/** Reads the heads of files. What cannot be read has a reason in place of a head. */
export async function* readHeads(
  files: readonly string[],
): AsyncGenerator<{ readonly index: number; readonly head: HeadResult }> {
  const buffers = Array.from({ length: AHEAD }, () => new Uint8Array(FIRST_BYTES));
  let limit = FIRST_BYTES;
  const start = (index: number): Promise<HeadResult> => {
    const slot = index % AHEAD;
    if (buffers[slot]!.length < limit) buffers[slot] = new Uint8Array(limit);
    return readHead(files[index]!, buffers[slot]!, () => (limit = USUAL_BYTES));
  };
  const reading = Array.from({ length: Math.min(AHEAD, files.length) }, (_, i) => start(i));
  for (let index = 0; index < files.length; index++) {
    const head = await reading[index % AHEAD]!;
    yield { index, head };
    // Its buffer is free again.
    if (index + AHEAD < files.length) reading[index % AHEAD] = start(index + AHEAD);
  }
}

async function readHead(file: string, buffer: Uint8Array, onMore: () => void): Promise<HeadResult> {
  try {
    const bytes = await fill(file, buffer);
    return headOf(file, bytes, bytes.length < buffer.length, onMore);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return { why: CAUSES[code] ?? 'may not be read: change its permissions, or copy it' };
  }
}

function headOf(file: string, bytes: Uint8Array, isWhole: boolean, onMore: () => void): Head {
  return {
    bytes,
    isWhole,
    more: async () => {
      onMore();
      const size = bytes.length * 4;
      const longer = await fill(file, new Uint8Array(Math.min(size, MAX_BYTES)));
      return headOf(file, longer, longer.length < size, onMore);
    },
  };
}

/** The beginning of a file, as much as there is and as the buffer holds. */
async function fill(file: string, buffer: Uint8Array): Promise<Uint8Array> {
  const handle: FileHandle = await open(file, 'r');
  try {
    let total = 0;
    while (total < buffer.length) {
      const { bytesRead } = await handle.read(buffer, total, buffer.length - total, total);
      if (bytesRead === 0) break;
      total += bytesRead;
    }
    return buffer.subarray(0, total);
  } finally {
    await handle.close();
  }
}
