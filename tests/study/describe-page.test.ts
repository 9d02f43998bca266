/** The page of `describe`: complete, self-contained, and safe whatever stands in a study file. */
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { expect, test } from 'vitest';
import { softknock, temporaryFolder } from '../helpers/cli.js';
import { NIGHT_SKY } from '../helpers/study.js';

const folder = await temporaryFolder();

test('describes every scan of the demo study with three pictures, and asks nothing of a network', async () => {
  const file = path.join(folder, 'study.html');
  const { status } = await softknock('describe', NIGHT_SKY, '--html', file);
  expect(status).toBe(0);
  const page = await readFile(file, 'utf8');
  expect(page.match(/<section>/g)).toHaveLength(8);
  expect(page.match(/<figure>/g)).toHaveLength(24);
  expect(page.match(/src="data:image\/png;base64,/g)).toHaveLength(8);
  // Third octaves from 50 Hz to 10 kHz: 24 bars a scan.
  expect(page.match(/<rect\b/g)).toHaveLength(8 * 24);
  expect(page).toContain("default-src 'none'");
  expect(page).not.toMatch(/https?:|<script|@import|url\(/);
  expect(page).toContain('readout, 1/(2 x 0.56 ms)');
  expect(page).toContain('Generic, not measured');
});

test('leaves a file that is there alone', async () => {
  const file = path.join(folder, 'study.html');
  const before = await readFile(file, 'utf8');
  const { status, err } = await softknock(
    'describe',
    NIGHT_SKY,
    '--html',
    file,
    '--scan',
    'localiser',
  );
  expect(status).toBe(2);
  expect(err).toContain('study.html');
  expect(await readFile(file, 'utf8')).toBe(before);
});
