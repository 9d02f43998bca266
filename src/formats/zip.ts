/**
 * ZIP archives whose bytes depend on their content alone.
 *
 * Source: APPNOTE.TXT 6.3 (PKWARE); the writing itself is `fflate`'s. Names are UTF-8 with forward
 * slashes, every file has the same date, audio is stored as it is.
 *
 * @module
 */
import { Zip, ZipDeflate, ZipPassThrough } from 'fflate';

/** A file to pack. */
export interface ZipEntry {
  /** Forward slashes. */
  readonly path: string;
  /** Its bytes in order, read when they are packed: a disc is too large to be held. */
  readonly pieces: Iterable<Uint8Array>;
}

/** Kinds of files that compression does not make smaller. */
const STORED = /\.(?:mp3|pdf|zip)$/;

/**
 * Date of all files. ZIP holds local time, and so does this: the same numbers in every time zone.
 */
const fixedDate = (): Date => new Date(2000, 0, 1);

/** The archive in pieces, as files come in; an entry is read before the next is asked for. @throws {Error} A file cannot be packed. */
export async function* zipFiles(entries: AsyncIterable<ZipEntry>): AsyncGenerator<Uint8Array> {
  let ready: Uint8Array[] = [];
  let failure: Error | undefined;
  const zip = new Zip((error, piece) => {
    // The package's types say that there is always an error.
    if ((error as Error | null) !== null) failure = error as Error;
    else ready.push(piece);
  });
  const flush = function* (): Generator<Uint8Array> {
    if (failure !== undefined) throw failure;
    yield* ready;
    ready = [];
  };
  for await (const { path, pieces } of entries) {
    const file = STORED.test(path) ? new ZipPassThrough(path) : new ZipDeflate(path, { level: 9 });
    file.mtime = fixedDate();
    zip.add(file);
    for (const piece of pieces) {
      file.push(piece, false);
      yield* flush();
    }
    file.push(new Uint8Array(0), true);
    yield* flush();
  }
  zip.end();
  yield* flush();
}
