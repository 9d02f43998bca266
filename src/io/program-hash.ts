/**
 * What the program is made of, as one hash: after an upgrade, of itself or of what it runs on, it is
 * another.
 *
 * @module
 */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { LIBRARY_FOLDER } from './library.js';

/** The folder of the program's own code, built or not. */
const CODE_FOLDER = path.resolve(import.meta.dirname, '..');

/** All folders but those that only talk to people or look at what is there already. */
const CODE = [
  'signal',
  'formats',
  'protocol',
  'gradients',
  'acoustics',
  'levels',
  'plan',
  'kit',
  'io',
] as const;

/** Data that sounds are made from. */
const DATA = ['plans', 'protection', 'responses', 'scans'] as const;

/** Packages that a sound goes through on its way into a file. */
const PACKAGES = ['fft.js', 'node-wav', 'wasm-media-encoders', 'mpg123-decoder'] as const;

let hash: string | undefined;

/** SHA-256 in lower-case hexadecimal. */
export function programHash(): string {
  hash ??= computed();
  return hash;
}

function computed(): string {
  const sum = createHash('sha256');
  // The last digit of a sine may be another one on another machine.
  sum.update(`${process.version} ${process.arch}\n`);
  for (const name of PACKAGES) sum.update(packageText(name));
  for (const folder of CODE) addFolder(path.join(CODE_FOLDER, folder), /\.js$|(?<!\.d)\.ts$/);
  for (const folder of DATA) addFolder(path.join(LIBRARY_FOLDER, folder), /\.yaml$/);
  return sum.digest('hex');

  function addFolder(folder: string, wanted: RegExp): void {
    const files = readdirSync(folder, { recursive: true, encoding: 'utf8' });
    for (const file of files.filter(name => wanted.test(name)).sort()) {
      const bytes = readFileSync(path.join(folder, file));
      sum.update(`${file} ${bytes.length}\n`).update(bytes);
    }
  }
}

/** What a package says of itself, its version included. */
function packageText(name: string): Buffer {
  const file = createRequire(import.meta.url).resolve(name);
  const within = path.join('node_modules', name);
  const root = file.slice(0, file.lastIndexOf(within) + within.length);
  return readFileSync(path.join(root, 'package.json'));
}
