/**
 * The beginning of compressed bytes: of a gzip file, or of a deflated DICOM data set (PS3.5, A.5).
 *
 * @module
 */
import { joinBytes } from '../join-bytes.js';
import { Gunzip, Inflate } from 'fflate';

/** Bytes fed at a time; deflate makes at most 1032 times as many of them. */
const STEP = 1024;

export interface Expanded {
  readonly bytes: Uint8Array;
  /** Whether all of the input is in it. */
  readonly isWhole: boolean;
}

/**
 * Expands until the input ends or `limit` bytes are there; what is damaged ends it too.
 *
 * @param limit - In bytes; the result is at most 1 MB longer.
 */
export function expandHead(kind: 'gzip' | 'deflate', bytes: Uint8Array, limit: number): Expanded {
  const parts: Uint8Array[] = [];
  let total = 0;
  const keep = (part: Uint8Array): void => {
    parts.push(part);
    total += part.length;
  };
  const stream = kind === 'gzip' ? new Gunzip(keep) : new Inflate(keep);
  let position = 0;
  try {
    while (position < bytes.length && total < limit) {
      stream.push(bytes.subarray(position, position + STEP), false);
      position += STEP;
    }
  } catch {
    // What was expanded before the damage is of use.
    position = bytes.length;
  }
  return { bytes: joinBytes(parts), isWhole: position >= bytes.length };
}
