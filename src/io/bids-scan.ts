/**
 * One scan of a dataset: its sidecars, the header of its image, its b-values.
 *
 * @module
 */
import { lstat } from 'node:fs/promises';
import { basename } from 'node:path';
import { constants, gunzipSync } from 'node:zlib';
import { NIFTI_HEADER_BYTES, type NiftiHeader, parseNiftiHeader } from '../formats/nifti.js';
import type { SidecarFile, SkippedFile } from '../import/import-sidecars.js';
import { mergeSidecars } from '../import/inherit-sidecars.js';
import { decodeUtf8, readUpTo } from './read-text.js';

/** What was read from the paths that a user gave. */
export interface BidsFiles {
  readonly files: SidecarFile[];
  readonly skipped: SkippedFile[];
  readonly notes: string[];
}

export interface ScanPaths {
  /** Path without extension, as it is shown to the user. */
  readonly shown: string;
  /** Paths of the sidecars that apply, from the farthest to the nearest. */
  readonly sidecars: readonly string[];
  /** Path of the scan's files without extension. */
  readonly stem: string;
  /** Path of the b-values, when they are not beside the scan. */
  readonly bValues?: string | undefined;
}

/** Largest sidecar read, in bytes; real ones have a few thousand, with long slice timings 100 000. */
const MAX_SIDECAR_BYTES = 5_000_000;

/** Largest file of b-values read, in bytes. */
const MAX_BVAL_BYTES = 1_000_000;

/** Compressed bytes that hold a header for sure. */
const COMPRESSED_HEADER_BYTES = 4096;

/** Reads one scan. Never throws for what is wrong with the files. */
export async function readScan({
  shown,
  sidecars,
  stem,
  bValues,
}: ScanPaths): Promise<SidecarFile> {
  const path = `${shown}.json`.replaceAll('\\', '/');
  if (sidecars.length === 0) return { path, error: 'no sidecar (.json) describes this image' };
  const parts: Readonly<Record<string, unknown>>[] = [];
  for (const sidecar of sidecars) {
    const result = await readJson(sidecar);
    if ('error' in result) {
      const own = sidecar === `${stem}.json`;
      return {
        path,
        error: own ? result.error : `${basename(sidecar)}, which applies to it: ${result.error}`,
      };
    }
    parts.push(result.json);
  }
  return {
    path,
    json: mergeSidecars(parts),
    image: await readHeader(stem),
    bValues: await readBValues(bValues ?? `${stem}.bval`),
  };
}

type JsonResult = { json: Readonly<Record<string, unknown>> } | { error: string };

async function readJson(file: string): Promise<JsonResult> {
  let bytes: Uint8Array;
  try {
    bytes = await readUpTo(file, MAX_SIDECAR_BYTES + 1);
  } catch (error) {
    return { error: await explainUnreadable(file, error) };
  }
  if (bytes.length > MAX_SIDECAR_BYTES) return { error: 'larger than 5 MB: not a sidecar' };
  const text = decodeUtf8(bytes);
  if (text === undefined) return { error: 'not UTF-8 text: save it as UTF-8' };
  const json = parseJson(text);
  if (json === undefined)
    return { error: 'not JSON that can be read: convert the scan again, or correct the file' };
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    return { error: 'not a sidecar: its JSON is not a mapping of names to values' };
  }
  if (isDeeper(json, MAX_DEPTH)) {
    return { error: `not a sidecar: its JSON is nested more than ${MAX_DEPTH} levels deep` };
  }
  return { json: json as Record<string, unknown> };
}

/** Levels of nesting that a sidecar may have; converters write up to four. */
const MAX_DEPTH = 30;

/** Whether a parsed value is nested more than so many levels deep. */
function isDeeper(value: unknown, levels: number): boolean {
  if (typeof value !== 'object' || value === null) return false;
  return levels === 0 || Object.values(value).some(inner => isDeeper(inner, levels - 1));
}

/** Parsed JSON; `NaN` and `Infinity`, which some writers leave in it, count as absent. */
function parseJson(text: string): unknown {
  for (const attempt of [
    text,
    text.replace(/([:[,]\s*)(-?Infinity|NaN)(?=\s*[,\]}])/g, '$1null'),
  ]) {
    try {
      return JSON.parse(attempt) as unknown;
    } catch (error) {
      if (!(error instanceof SyntaxError || error instanceof RangeError)) throw error;
    }
  }
  return undefined;
}

/** A link without its target is what a dataset manager leaves for content that was not fetched. */
async function explainUnreadable(file: string, error: unknown): Promise<string> {
  const link = await lstat(file).catch(() => undefined);
  if (link?.isSymbolicLink() === true) return 'a link to content that is not here: fetch it first';
  const { code } = error as NodeJS.ErrnoException;
  if (code === 'ENOENT') return 'no sidecar (.json) of this name: check the path';
  if (code === 'EISDIR') return 'a folder, not a sidecar';
  return 'may not be read: change its permissions, or copy it';
}

async function readHeader(stem: string): Promise<NiftiHeader | undefined> {
  for (const [extension, limit] of [
    ['.nii', NIFTI_HEADER_BYTES],
    ['.nii.gz', COMPRESSED_HEADER_BYTES],
  ] as const) {
    const bytes = await readUpTo(`${stem}${extension}`, limit).catch(() => undefined);
    if (bytes === undefined || bytes.length === 0) continue;
    const header = extension === '.nii' ? bytes : unzipStart(bytes);
    return header === undefined ? undefined : parseNiftiHeader(header);
  }
  return undefined;
}

/** The start of a gzip file that was not read to its end. */
function unzipStart(bytes: Uint8Array): Uint8Array | undefined {
  try {
    return gunzipSync(bytes, { finishFlush: constants.Z_SYNC_FLUSH });
  } catch {
    return undefined;
  }
}

async function readBValues(file: string): Promise<readonly number[] | undefined> {
  const bytes = await readUpTo(file, MAX_BVAL_BYTES).catch(() => undefined);
  const text = bytes === undefined ? undefined : decodeUtf8(bytes);
  if (text === undefined || text.trim() === '') return undefined;
  const values = text
    .trim()
    .split(/[\s,]+/)
    .map(Number);
  return values.every(value => Number.isFinite(value) && value >= 0) ? values : undefined;
}
