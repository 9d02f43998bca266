/** The page's scripts as sources: sound types, and nothing that an older phone cannot read. */
import path from 'node:path';
import { Linter } from 'eslint';
import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { PAGE_SCRIPTS } from '../../src/kit/screens/page.js';
import { pageFile } from '../helpers/sample-kit.js';

const FOLDER = path.resolve(import.meta.dirname, '../../sounds-synth/page');

/** ES2019: what browsers of 2018 run (Chrome 66, Safari 11.1), and so phones of ten years. */
const ECMA_VERSION = 2019;

test('the scripts type-check together, strictly, with no newer library than ES2019', () => {
  const files = PAGE_SCRIPTS.map(name => path.join(FOLDER, name));
  const program = ts.createProgram(files, {
    target: ts.ScriptTarget.ES2022,
    module: ts.ModuleKind.ESNext,
    moduleResolution: ts.ModuleResolutionKind.Bundler,
    // Classic scripts of one page: they share one scope.
    moduleDetection: ts.ModuleDetectionKind.Legacy,
    allowJs: true,
    checkJs: true,
    strict: true,
    noEmit: true,
    noImplicitReturns: true,
    skipLibCheck: true,
    types: [],
    lib: ['lib.es2019.d.ts', 'lib.dom.d.ts', 'lib.dom.iterable.d.ts'],
  });
  const problems = files.flatMap(file => {
    const source = program.getSourceFile(file)!;
    return [...program.getSyntacticDiagnostics(source), ...program.getSemanticDiagnostics(source)];
  });
  expect(files.length).toBeGreaterThan(5);
  expect(
    problems.map(({ file, start, messageText }) => {
      const line = file!.getLineAndCharacterOfPosition(start!).line + 1;
      return `${path.basename(file!.fileName)}:${line} ${ts.flattenDiagnosticMessageText(messageText, ' ')}`;
    }),
  ).toEqual([]);
});

describe.each(PAGE_SCRIPTS)('%s', name => {
  test('is a classic script of ES2019 that asks nothing of a network', () => {
    const messages = new Linter().verify(pageFile(name), {
      languageOptions: { ecmaVersion: ECMA_VERSION, sourceType: 'script' },
      rules: { 'no-eval': 'error', 'no-implied-eval': 'error', 'no-new-func': 'error' },
    });
    expect(messages).toEqual([]);
    expect(pageFile(name)).not.toMatch(
      /fetch\(|XMLHttpRequest|WebSocket|sendBeacon|innerHTML|https?:\/\//,
    );
  });
});
