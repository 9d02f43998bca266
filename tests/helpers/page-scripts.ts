/** The page's scripts as functions to call, without a browser. */
import vm from 'node:vm';
import { pageFile } from './sample-kit.js';

/**
 * Runs script files of `sounds-synth/page/` and returns the functions named. They see the
 * language's own globals and nothing of a browser.
 */
export function pageFunctions<Names extends string>(
  files: readonly string[],
  names: readonly Names[],
): Record<Names, (...args: never[]) => unknown> {
  const source = files.map(pageFile).join('\n');
  const context = vm.createContext({});
  return vm.runInContext(`${source}\n({ ${names.join(', ')} })`, context) as Record<
    Names,
    (...args: never[]) => unknown
  >;
}
