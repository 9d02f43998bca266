/**
 * `measure`, from files: the weightings against IEC 61672-1 (origin of the vectors:
 * tests/vectors/iec-61672-1/README.md), its forms of output, and files that are wrong.
 */
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { softknock, softknockJson, temporaryFolder } from '../helpers/cli.js';
import { csvVectors, limitOf } from '../helpers/csv-vectors.js';
import { silence, sine, swelling } from '../helpers/signals.js';
import { floatWav, integerBytes, wavBytes } from '../helpers/wav-bytes.js';

/** What is asked of the meter against the printed table, up to 16 kHz. */
const TABLE_DB = 0.1;

interface Measured {
  readonly file: string;
  readonly laeqDbfs: number;
  readonly lceqDbfs: number;
  readonly lzeqDbfs: number;
}

const folder = await temporaryFolder();

async function written(name: string, bytes: Uint8Array | string): Promise<string> {
  const file = path.join(folder, name);
  await writeFile(file, bytes);
  return file;
}

describe('A, C and Z at the 34 bands, from sine files', () => {
  const table = csvVectors('iec-61672-1/table-3.csv', [
    'band',
    'nominalHz',
    'aDb',
    'cDb',
    'class1LowDb',
    'class1HighDb',
  ]);

  test.each([44_100, 48_000, 96_000])(
    '%d Hz: within 0.1 dB to 16 kHz, within class 1 at 20 kHz',
    async rate => {
      expect(table).toHaveLength(34);
      const files = await Promise.all(
        table.map(({ band }) => {
          const hertz = 10 ** (Number(band) / 10);
          // Under a raised cosine of 80 cycles or more the tone is as narrow as the test needs.
          const tone = swelling(sine(hertz, Math.max(0.5, 80 / hertz), rate, { peak: 0.9 }));
          return written(`${rate}-${band}.wav`, floatWav([tone], rate));
        }),
      );
      const { files: measured } = await softknockJson<{ files: Measured[] }>('measure', ...files);
      expect(measured.map(({ file }) => file)).toEqual(files);
      measured.forEach(({ laeqDbfs, lceqDbfs, lzeqDbfs }, i) => {
        const { nominalHz, aDb, cDb, class1LowDb, class1HighDb } = table[i]!;
        // The level of the tone: a raised cosine has 3/8 of the power of its crest.
        const goalDb = 20 * Math.log10(0.9) + 10 * Math.log10(3 / 8);
        const errors = {
          A: laeqDbfs - goalDb - Number(aDb),
          C: lceqDbfs - goalDb - Number(cDb),
          Z: lzeqDbfs - goalDb,
        };
        for (const [weighting, error] of Object.entries(errors)) {
          const where = `${weighting} at ${nominalHz} Hz`;
          expect(error, where).toBeGreaterThanOrEqual(limitOf(class1LowDb, -Infinity));
          expect(error, where).toBeLessThanOrEqual(limitOf(class1HighDb, Infinity));
          if (Number(nominalHz) <= 16_000)
            expect(Math.abs(error), where).toBeLessThanOrEqual(TABLE_DB);
        }
      });
    },
  );
});

describe('output', () => {
  const tone = sine(1000, 4, 48_000, { peak: 0.1 });

  test('JSON has the keys that others rely on, in their units', async () => {
    const file = await written('tone.wav', floatWav([tone, tone], 48_000));
    const { files } = await softknockJson<{ files: Record<string, unknown>[] }>('measure', file);
    expect(files).toHaveLength(1);
    expect(Object.keys(files[0]!).sort()).toEqual(
      [
        'file',
        'durationSeconds',
        'sampleRateHertz',
        'channels',
        'laeqDbfs',
        'lafmaxDbfs',
        'lasmaxDbfs',
        'lceqDbfs',
        'lcpeakDbfs',
        'lzeqDbfs',
        'truePeakDbtp',
        'lafPercentilesDbfs',
        'soundExposureLevelDb',
        'integratedLufs',
        'loudnessRangeLu',
        'maxShortTermLufs',
        'maxMomentaryLufs',
        'thirdOctaves',
        'clippedSamples',
      ].sort(),
    );
    expect(files[0]).toMatchObject({
      durationSeconds: 4,
      sampleRateHertz: 48_000,
      channels: 2,
      laeqDbfs: expect.closeTo(-20, 2) as number,
      soundExposureLevelDb: expect.closeTo(-20 + 10 * Math.log10(4), 2) as number,
      // Two channels of -23 LUFS each (a sine of -20 dBFS in one channel, BS.1770) sum to -20.
      integratedLufs: expect.closeTo(-20, 1) as number,
      clippedSamples: 0,
    });
    const bands = files[0]!['thirdOctaves'] as { hertz: number; dbfs: number }[];
    expect(bands).toHaveLength(34);
    expect(bands.find(({ hertz }) => hertz === 1000)!.dbfs).toBeCloseTo(-20, 1);
    const percentiles = files[0]!['lafPercentilesDbfs'] as Record<string, number>;
    expect(Object.keys(percentiles)).toEqual(['l1', 'l5', 'l10', 'l50', 'l90', 'l95', 'l99']);
    expect(percentiles['l50']).toBeCloseTo(-20, 1);
  });

  test('silence is null in JSON, empty in CSV and a word in the table', async () => {
    const file = await written('silent.wav', floatWav([silence(1, 48_000)], 48_000));
    const { files } = await softknockJson<{ files: Record<string, unknown>[] }>('measure', file);
    expect(files[0]).toMatchObject({ laeqDbfs: null, truePeakDbtp: null, integratedLufs: null });
    const { out: csv } = await softknock('measure', file, '--csv');
    const [head, row] = csv
      .trim()
      .split('\r\n')
      .map(line => line.split(','));
    expect(head![4]).toBe('laeqDbfs');
    expect(row![4]).toBe('');
    const { out, err } = await softknock('measure', file);
    expect(out).toContain('silence');
    expect(out).not.toMatch(/NaN|Infinity/);
    expect(err).toContain('silent');
  });

  test('CSV has a row per file and a column per number', async () => {
    const one = await written('one.wav', floatWav([tone], 48_000));
    const two = await written('two, "odd".wav', floatWav([sine(1000, 1, 8_000)], 8_000));
    const { out } = await softknock('measure', one, two, '--csv', '--calibration', '90');
    const lines = out.trim().split('\r\n');
    expect(lines).toHaveLength(3);
    expect(lines[0]).toContain('thirdOctave31.5Dbfs');
    expect(lines[0]).toContain('estimatedLaeqDba_low');
    expect(lines[2]).toContain('two, ""odd"".wav"');
    // The low sample rate has fewer bands: their cells are empty, and columns stay in line.
    const widths = [lines[0]!, lines[1]!].map(line => line.split(',').length);
    expect(widths[0]).toBe(widths[1]);
  });

  test('levels re another file are differences from its LAeq', async () => {
    const quiet = await written('quiet.wav', floatWav([tone.map(x => x / 2)], 48_000));
    const loud = await written('loud.wav', floatWav([tone], 48_000));
    const { files, reference } = await softknockJson<{
      files: Record<string, number>[];
      reference: { file: string; laeqDbfs: number };
    }>('measure', loud, '--reference', quiet);
    expect(reference.file).toBe(quiet);
    expect(files[0]!['laeqReReferenceDb']).toBeCloseTo(20 * Math.log10(2), 2);
    expect(files[0]!['laeqDbfs']! - reference.laeqDbfs).toBeCloseTo(
      files[0]!['laeqReReferenceDb']!,
      2,
    );
    const { out } = await softknock('measure', loud, '--reference', quiet);
    expect(out).toContain('6.0');
  });

  test('a calibration gives levels at the ear as a range, never a number alone', async () => {
    const file = await written('calibrated.wav', floatWav([tone], 48_000));
    const { files, calibration } = await softknockJson<{
      files: Record<string, { low: number; expected: number; high: number }>[];
      calibration: object;
    }>('measure', file, '--calibration', '92', '--uncertainty', '2');
    expect(calibration).toEqual({ fullScaleDba: 92, uncertaintyDb: 2 });
    const { low, expected, high } = files[0]!['estimatedLaeqDba']!;
    expect(expected).toBeCloseTo(72, 1);
    expect([low, high]).toEqual([expected - 2, expected + 2]);
    // A sine of -20 dBFS peaks 3 dB above its level.
    expect(files[0]!['estimatedLcpeakDbc']!.expected).toBeGreaterThan(74.9);
    // Nothing stated is not nothing.
    const unstated = await softknockJson<{ calibration: object }>(
      'measure',
      file,
      '--calibration',
      '92',
    );
    expect(unstated.calibration).toEqual({ fullScaleDba: 92, uncertaintyDb: 5 });
    const { out } = await softknock('measure', file, '--calibration', '92');
    expect(out).toContain('72 (67-77)');
  });

  test('a playlist is measured file by file', async () => {
    await written('a.wav', floatWav([tone], 48_000));
    await written('b.wav', floatWav([tone], 48_000));
    const list = await written('list.m3u8', '#EXTM3U\na.wav\nb.wav\n');
    const { files } = await softknockJson<{ files: Measured[] }>('measure', list);
    expect(files.map(({ file }) => path.basename(file))).toEqual(['a.wav', 'b.wav']);
  });
});

describe('what is wrong', () => {
  const data = integerBytes([1, 2, 3], 16);

  test.each<[string, Uint8Array | string, string]>([
    ['text.wav', 'a letter', 'a text file'],
    ['empty.wav', '', 'an empty file'],
    ['rate-0.wav', wavBytes({ data, sampleRateHz: 0 }), 'a sample rate of 0 Hz'],
    ['rate-1e9.wav', wavBytes({ data, sampleRateHz: 1e9 }), 'a sample rate of 1000000000 Hz'],
    ['no-samples.wav', wavBytes({ data: new Uint8Array(0) }), 'no samples'],
    ['nan.wav', floatWav([Float64Array.of(0, Number.NaN)], 48_000), 'got NaN at sample 1'],
    ['infinite.wav', floatWav([Float64Array.of(Infinity)], 48_000), 'got Infinity at sample 0'],
  ])('%s ends with 2 and says what was found', async (name, bytes, found) => {
    const file = await written(name, bytes);
    const { status, out, err } = await softknock('measure', file, '--json');
    expect(status).toBe(2);
    expect(err).toContain(name);
    expect(err).toContain(found);
    expect(err).toContain('fix:');
    expect(JSON.parse(out)).toEqual({ files: [] });
  });

  test('one wrong file does not hide the others', async () => {
    const good = await written('good.wav', floatWav([sine(1000, 1, 48_000)], 48_000));
    const { status, out, err } = await softknock('measure', path.join(folder, 'missing.wav'), good);
    expect(status).toBe(2);
    expect(out).toContain('good.wav');
    expect(err).toContain('1 of 2 files');
    expect(err).toContain('no such file');
  });

  test('a 4 GiB header in a file of 10 kB is measured for what is there, with a warning', async () => {
    const samples = Array.from({ length: 5000 }, (_, i) => Math.round(9000 * Math.sin(i / 3)));
    const bytes = wavBytes({ data: integerBytes(samples, 16), claimedBytes: 0xffff_ffff });
    const file = await written('huge.wav', bytes);
    const { status, out, err } = await softknock('measure', file, '--json');
    expect(status).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ files: [{ durationSeconds: 5000 / 48_000 }] });
    expect(err).toContain('claims 4294967295 bytes');
  });

  test('eight channels, an offset and clipping are measured, the odd ones with a warning', async () => {
    const tone = sine(1000, 1, 48_000, { peak: 0.5 });
    const eight = await written(
      'eight.wav',
      floatWav(new Array<Float64Array>(8).fill(tone), 48_000),
    );
    const offset = await written('offset.wav', floatWav([tone.map(x => x + 0.25)], 48_000));
    const clipped = await written(
      'clipped.wav',
      floatWav([tone.map(x => Math.max(-1, Math.min(1, 4 * x)))], 48_000),
    );
    const { status, out, err } = await softknock('measure', eight, offset, clipped, '--json');
    expect(status).toBe(0);
    const { files } = JSON.parse(out) as { files: { channels: number; clippedSamples: number }[] };
    expect(files[0]!.channels).toBe(8);
    expect(files[2]!.clippedSamples).toBeGreaterThan(10_000);
    expect(err).toContain('off zero by 25.0 %');
    expect(err).toContain('may be clipped');
    expect(err).not.toContain('eight.wav');
  });

  test.each([
    [['--json', '--csv'], 'two forms of output'],
    [['--uncertainty', '3'], 'an uncertainty without a calibration'],
    [['--calibration', 'loud'], 'Allowed: 30 to 150 dB'],
    [['--calibration', '90', '--uncertainty', '-1'], 'Allowed: 0 to 40 dB'],
  ])('%j is refused', async (options, found) => {
    const file = await written('any.wav', floatWav([sine(1000, 0.1, 48_000)], 48_000));
    const { status, err } = await softknock('measure', file, ...options);
    expect(status).toBe(2);
    expect(err).toContain(found);
  });

  test('a silent reference is refused', async () => {
    const file = await written('some.wav', floatWav([sine(1000, 0.1, 48_000)], 48_000));
    const silent = await written('reference.wav', floatWav([silence(1, 48_000)], 48_000));
    const { status, err } = await softknock('measure', file, '--reference', silent);
    expect(status).toBe(2);
    expect(err).toContain('a reference that can be heard');
  });
});

test('--help says what the numbers are, and gives an example', async () => {
  const { status, out } = await softknock('measure', '--help');
  expect(status).toBe(0);
  expect(out).toContain('full-scale 1 kHz sine reads 0');
  expect(out).toContain('softknock measure');
});
