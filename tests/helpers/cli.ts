/** Runs a command line as a user would, in this process, and keeps what it prints. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { run } from '../../src/cli/main.js';

export interface CliResult {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

/** The day on which all tests happen. */
export const TODAY = '2027-05-20';

export async function softknock(...args: readonly string[]): Promise<CliResult> {
  let out = '';
  let err = '';
  const context: CliContext = {
    out: text => (out += text),
    err: text => (err += text),
    errIsTerminal: false,
    colour: false,
    columns: 100,
    today: () => TODAY,
  };
  const status = await run(args, context);
  return { status, out, err };
}

/** {@link softknock} that must succeed, its JSON parsed. */
export async function softknockJson<T>(...args: readonly string[]): Promise<T> {
  const { status, out, err } = await softknock(...args, '--json');
  if (status !== 0) throw new Error(`softknock ${args.join(' ')} ended with ${status}: ${err}`);
  return JSON.parse(out) as T;
}

/** A folder of this test file's own, gone when its tests are over. */
export async function temporaryFolder(): Promise<string> {
  const folder = await mkdtemp(path.join(tmpdir(), 'softknock-test-'));
  afterAll(() => rm(folder, { recursive: true, force: true }));
  return folder;
}
