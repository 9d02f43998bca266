/**
 * Whether bytes are the beginning of a Pulseq file: comments, then a section (Pulseq specification,
 * "File structure"); or of its binary form, which is recognised to be refused.
 *
 * @module
 */

/** Bytes that are looked at. */
const HEAD_BYTES = 2048;

/** Binary files begin with this. */
const BINARY = '\u0001pulseq\u0002';

/** Lines of comments or none, then the name of a section that only these files have. */
const TEXT = /^([ \t\r]*(#[^\n]*)?\n)*[ \t]*\[(VERSION|DEFINITIONS|BLOCKS)\]/;

export function isPulseqText(bytes: Uint8Array): boolean {
  const head = String.fromCharCode(...bytes.subarray(0, HEAD_BYTES));
  return head.startsWith(BINARY) || TEXT.test(head);
}
