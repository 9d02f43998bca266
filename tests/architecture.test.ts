/** The order of the folders in DEVELOPERS.md, enforced: a file imports only from its own folder and those before it. */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';

// prettier-ignore
const LAYERS = [
  'errors.ts', 'signal', 'formats', 'limits', 'protocol', 'import', 'gradients', 'acoustics', 'levels',
  'plan', 'practice', 'compare', 'kit', 'page', 'study', 'io', 'cli', 'index.ts',
];

/** The folders that may use each package. */
const PACKAGE_HOMES: Readonly<Record<string, readonly string[]>> = {
  'fft.js': ['signal'],
  'node-wav': ['formats'],
  'wasm-media-encoders': ['formats'],
  'mpg123-decoder': ['formats'],
  '@wasm-audio-decoders/flac': ['formats'],
  fflate: ['formats'],
  papaparse: ['formats'],
  'dicom-parser': ['formats'],
  yaml: ['protocol', 'acoustics', 'kit'],
  zod: ['protocol', 'acoustics', 'kit'],
  'bidi-js': ['kit'],
  pdfkit: ['kit'],
  'cli-progress': ['io'],
  commander: ['cli'],
};

const MAY_USE_NODE = new Set(['io', 'cli']);

/** What code below `io` may not touch: it would make results depend on more than the inputs. */
const IMPURE = /\b(Date\.now|new Date\(\)|performance\.now|Math\.random|console\.|process\.)/;

const SRC = path.resolve(import.meta.dirname, '../src');

const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' })
  // Kernels are a language and a program of their own, which imports nothing from outside.
  .filter(file => file.endsWith('.ts') && !file.startsWith(`kernels${path.sep}`))
  .map(file => ({ file, text: readFileSync(path.join(SRC, file), 'utf8') }));

const imports = files.flatMap(({ file, text }) =>
  ts.preProcessFile(text).importedFiles.map(({ fileName }) => ({ file, fileName })),
);

const layerOf = (file: string): number => LAYERS.indexOf(file.split(path.sep)[0]!);

test('there are files and imports to check', () => {
  expect(files.length).toBeGreaterThan(20);
  expect(imports.length).toBeGreaterThan(20);
});

describe('imports go one way', () => {
  test.each(imports)('$file imports $fileName', ({ file, fileName }) => {
    const folder = file.split(path.sep)[0]!;
    expect(LAYERS).toContain(folder);
    if (fileName.startsWith('node:')) {
      expect(MAY_USE_NODE).toContain(folder);
    } else if (fileName.startsWith('.')) {
      const target = path.join(path.dirname(file), fileName).replace(/\.js$/, '.ts');
      expect(layerOf(target)).toBeGreaterThanOrEqual(0);
      expect(layerOf(target)).toBeLessThanOrEqual(layerOf(file));
    } else {
      expect(PACKAGE_HOMES[fileName]).toContain(folder);
    }
  });
});

test.each(files.filter(({ file }) => !MAY_USE_NODE.has(file.split(path.sep)[0]!)))(
  '$file is pure: no clock, no unseeded randomness, no console, no process',
  ({ text }) => {
    const code = text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/\/\/.*$/gm, '');
    expect(IMPURE.exec(code)).toBeNull();
  },
);

test('no source file is longer than 400 lines', () => {
  const long = files.filter(({ text }) => text.split('\n').length > 400).map(({ file }) => file);
  expect(long).toEqual([]);
});
