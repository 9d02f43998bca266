/**
 * Whether a kit's files are those it was written with, and hold no mark of a person.
 *
 * @module
 */
import {
  bytesSource,
  type ByteSource,
  type OpenSource,
  piecesOf,
} from '../../formats/audio-stream.js';
import { parseSha256Sums } from '../../formats/sha256sums.js';
import { type KitTools, SUMS_PATH } from '../build.js';
import type { Findings } from './findings.js';
import { privateMarks } from './identifying-text.js';

/** A kit as it lies somewhere. */
export interface KitReader {
  /** Name of its folder. */
  readonly name: string;
  /** Paths of all its files, forward slashes. */
  readonly files: readonly string[];
  /** @throws {UserError} `CANNOT_READ`: it may not be read. */
  readonly open: (path: string) => OpenSource;
}

/** Files that every kit has beside those of its manifest. */
const REQUIRED = [
  'kit.json',
  'start-here.html',
  'guide.pdf',
  'log.csv',
  'README.txt',
  'playlist.m3u8',
];

/** The one file that a family changes. */
const LOG = 'log.csv';

/** Files that systems leave in folders by themselves. */
const SYSTEM_FILES = /(?:^|\/)(?:\.DS_Store|\._[^/]*|Thumbs\.db|desktop\.ini)$/;

export interface FileCheck {
  /** Words that must occur nowhere. */
  readonly absent: readonly string[];
  readonly sha256Of: KitTools['sha256Of'];
  readonly findings: Findings;
  /** Takes sentences on what is as it may be. */
  readonly notes: string[];
}

/** Checks all files; returns the SHA-256 of each. */
export function checkFiles(kit: KitReader, check: FileCheck): ReadonlyMap<string, string> {
  const { findings } = check;
  const present = kit.files.filter(file => !SYSTEM_FILES.test(file));
  const stated = statedSums(kit, present, findings);
  for (const file of REQUIRED) if (!present.includes(file)) findings.missing(file);
  for (const file of stated.keys()) {
    if (!present.includes(file) && !REQUIRED.includes(file)) findings.missing(file);
  }
  return new Map(
    present.map(file => [
      file,
      reading(kit, file, content => checkFile(file, content, stated, check)),
    ]),
  );
}

/** The checksum of content that is read piece by piece. */
export function sumOf(content: ByteSource, sha256Of: KitTools['sha256Of']): string {
  const hash = sha256Of();
  for (const piece of piecesOf(content)) hash.update(piece);
  return hash.digest();
}

/** All of a file. */
export const readFile = (kit: KitReader, file: string): Uint8Array =>
  reading(kit, file, content => content.read(0, content.size));

/** Returns its SHA-256. */
function checkFile(
  file: string,
  source: ByteSource,
  stated: ReadonlyMap<string, string>,
  { absent, sha256Of, findings, notes }: FileCheck,
): string {
  // All but discs is read once.
  const content = file.endsWith('.wav') ? source : bytesSource(source.read(0, source.size));
  for (const mark of privateMarks(file, content, absent)) {
    findings.report(file, mark, 'nothing that says whose kit it is', 'Build the kit again.');
  }
  const sum = sumOf(content, sha256Of);
  if (file === SUMS_PATH || stated.size === 0) return sum;
  const expected = stated.get(file);
  if (expected === undefined) {
    findings.report(
      file,
      'a file that is not part of the kit',
      'the files of SHA256SUMS',
      'Remove it.',
    );
  } else if (sum !== expected) {
    if (file === LOG) notes.push('log.csv has been written in.');
    else findings.report(file, 'not as it was written', 'the file of SHA256SUMS');
  }
  return sum;
}

function statedSums(
  kit: KitReader,
  present: readonly string[],
  findings: Findings,
): ReadonlyMap<string, string> {
  if (!present.includes(SUMS_PATH)) {
    findings.missing(SUMS_PATH);
    return new Map();
  }
  const sums = parseSha256Sums(new TextDecoder().decode(readFile(kit, SUMS_PATH)));
  if (sums === undefined || sums.length === 0) {
    findings.report(SUMS_PATH, 'no list of checksums', 'lines of checksum and path');
  }
  return new Map((sums ?? []).map(({ path, sha256 }) => [path, sha256]));
}

function reading<T>(kit: KitReader, file: string, use: (content: ByteSource) => T): T {
  const source = kit.open(file);
  try {
    return use(source);
  } finally {
    source.close();
  }
}
