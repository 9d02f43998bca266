/** Scans as `render` writes them, read back from the file, and checks of their combs. */
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { expect } from 'vitest';
import { readAudio } from '../../src/io/read-audio.js';
import { softknockJson, temporaryFolder } from './cli.js';
import { lineSpectrum, linesIn, strongestLine } from './lines.js';

export interface ScanRenderer {
  /** Where everything is written. */
  readonly folder: string;
  /** Samples of a scan in the bore, from the file that the command writes. */
  readonly rendered: (study: string, scan: string, seconds: number) => Promise<Float64Array>;
  /** A study file of scans at 3 T, named `scan-1` and so on. */
  readonly studyOfScans: (scans: readonly TypedFields[]) => Promise<string>;
  /** The same of one scan, named `scan`. */
  readonly studyFile: (type: string, fields: Readonly<Record<string, unknown>>) => Promise<string>;
}

/** A scan type and what a study file says of it. */
export interface TypedFields {
  readonly type: string;
  readonly fields: Readonly<Record<string, unknown>>;
}

/** Renders into a folder of the test file's own. */
export async function scanRenderer(): Promise<ScanRenderer> {
  const folder = await temporaryFolder();
  let files = 0;
  const next = (extension: string): string => path.join(folder, `${(files += 1)}.${extension}`);
  return {
    folder,
    rendered: async (study, scan, seconds) => {
      const out = next('wav');
      const options = ['--scan', scan, '--seconds', String(seconds), '--perspective', 'bore'];
      await softknockJson('render', study, ...options, '--out', out);
      return samplesOf(out);
    },
    studyOfScans: scans => written(scans.map((scan, i) => scanText(`scan-${i + 1}`, scan))),
    studyFile: (type, fields) => written([scanText('scan', { type, fields })]),
  };

  async function written(scans: readonly string[]): Promise<string> {
    const file = next('yaml');
    await writeFile(
      file,
      `softknock: 1
study: { name: Test study, contact: { email: test@example.org } }
scanner: { MagneticFieldStrength: 3 }
scans:
${scans.join('')}`,
    );
    return file;
  }
}

function scanText(name: string, { type, fields }: TypedFields): string {
  const lines = Object.entries(fields).map(
    ([field, value]) => `    ${field}: ${JSON.stringify(value)}\n`,
  );
  return `  - name: ${name}\n    type: ${type}\n${lines.join('')}`;
}

/** Checks a comb: the strongest line beside the tone is a multiple of the rate, and so are its neighbours. */
export function expectComb(samples: Float64Array, toneHz: number, rateHz: number): void {
  const spectrum = lineSpectrum(samples, 44_100);
  const strongest = strongestLine(spectrum, 600, 1200).hertz;
  const below = Math.floor(toneHz / rateHz) * rateHz;
  const nearer = [below, below + rateHz].find(line => Math.abs(strongest / line - 1) < 0.001);
  expect(nearer, `strongest line ${strongest} Hz for a tone of ${toneHz} Hz`).toBeDefined();
  const lines = linesIn(spectrum, toneHz - 5 * rateHz, toneHz + 5 * rateHz, 50);
  expect(lines.length).toBeGreaterThanOrEqual(5);
  for (const { hertz } of lines) {
    expect(Math.abs(hertz / rateHz - Math.round(hertz / rateHz))).toBeLessThan(0.01);
  }
}

async function samplesOf(file: string): Promise<Float64Array> {
  const audio = await readAudio(file);
  const blocks: Float64Array[] = [];
  for await (const [channel] of audio.blocks()) blocks.push(Float64Array.from(channel!));
  const samples = new Float64Array(blocks.reduce((sum, block) => sum + block.length, 0));
  let offset = 0;
  for (const block of blocks) {
    samples.set(block, offset);
    offset += block.length;
  }
  return samples;
}
