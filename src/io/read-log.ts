/**
 * A family's log from the disk or from standard input, as text.
 *
 * @module
 */
import { type Problem, UserError } from '../errors.js';
import { decodeUtf8, readBytes, tooLarge } from './read-text.js';

/** Largest log accepted, in bytes; 100 000 rows have about 7 million. */
const MAX_BYTES = 50_000_000;

/** Name of standard input, on the command line. */
export const STANDARD_INPUT = '-';

/** First bytes of what spreadsheet programs save unless they are told otherwise. */
const SPREADSHEETS: readonly (readonly [start: readonly number[], found: string])[] = [
  // ZIP: .xlsx, .ods, .numbers.
  [[0x50, 0x4b, 0x03, 0x04], 'a spreadsheet (or another ZIP file)'],
  // Compound file: .xls.
  [[0xd0, 0xcf, 0x11, 0xe0], 'a spreadsheet of an old kind'],
];

/** Control characters that no text has; but not white space, or the escapes of some encodings. */
const BINARY = /[\u0000-\u0008\u000b\u000e-\u001a\u001c-\u001f]/;

/**
 * Reads the text of a log: UTF-8, or UTF-16 with a byte-order mark. Text in an older encoding is taken
 * as Western European: all that is read of a log is ASCII, and a note may say anything.
 *
 * @param file - Its path; `-` for standard input.
 * @throws {UserError} `CANNOT_READ` for a file that is missing, unreadable or too large; `BAD_LOG` for
 * one that is empty, a spreadsheet or no text.
 */
export async function readLogText(
  file: string,
  standardInput: AsyncIterable<Uint8Array> = process.stdin,
): Promise<string> {
  const isInput = file === STANDARD_INPUT;
  const bytes = isInput ? await readStream(standardInput) : await readBytes(file, MAX_BYTES);
  const name = isInput ? 'standard input' : file;
  const sheet = SPREADSHEETS.find(([start]) => start.every((byte, i) => bytes[i] === byte));
  if (sheet !== undefined) {
    throw notALog(name, sheet[1], 'Open it in the spreadsheet program, and save it as CSV.');
  }
  const text = decode(bytes);
  if (text.trim() === '') throw notALog(name, 'nothing', 'Check that this is the right file.');
  if (BINARY.test(text)) {
    throw notALog(name, 'bytes that are not text', 'Check that this is the right file.');
  }
  return text;
}

/** Without the byte-order mark. */
function decode(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  return decodeUtf8(bytes) ?? new TextDecoder('windows-1252').decode(bytes);
}

async function readStream(stream: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const chunks: Uint8Array[] = [];
  let total = 0;
  for await (const chunk of stream) {
    chunks.push(chunk);
    total += chunk.length;
    if (total > MAX_BYTES) throw tooLarge('standard input', MAX_BYTES);
  }
  return Buffer.concat(chunks);
}

function notALog(name: string, found: string, fix: string): UserError {
  const problem: Problem = { where: name, found, allowed: 'a log as text: log.csv', fix };
  return new UserError('BAD_LOG', `${name} is not a log.`, [problem]);
}
