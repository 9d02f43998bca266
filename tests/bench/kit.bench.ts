/** Time from the demo study's file to a whole kit: with nothing kept from before, and with all of it. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, bench } from 'vitest';
import { makeKit, prepareKit } from '../../src/io/make-kit.js';
import { NIGHT_SKY } from '../helpers/study.js';

const folder = mkdtempSync(path.join(tmpdir(), 'softknock-bench-'));
process.env['SOFTKNOCK_CACHE'] = path.join(folder, 'cache');

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

async function build(cache: boolean): Promise<void> {
  const prepared = await prepareKit({
    studyFile: NIGHT_SKY,
    family: 'bench',
    ageYears: 7,
    scanDate: '2027-06-14',
    wav: false,
    disc: false,
    small: false,
    cache,
    today: '2027-05-01',
  });
  await makeKit(prepared, { out: path.join(folder, 'out'), zip: false, staff: false });
}

// What earlier runs left of it is not what is timed.
await build(true);

bench('a kit, with nothing kept', () => build(false), {
  iterations: 1,
  time: 0,
  warmupTime: 0,
  warmupIterations: 0,
});
bench('a kit, with everything kept', () => build(true), {
  iterations: 5,
  time: 0,
  warmupTime: 0,
  warmupIterations: 1,
});
