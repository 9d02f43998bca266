/** `exposure`: published worked examples through the command, and questions that make no sense. */
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { softknock, softknockJson, temporaryFolder } from '../helpers/cli.js';
import { sine } from '../helpers/signals.js';
import { floatWav, integerBytes, wavBytes } from '../helpers/wav-bytes.js';

interface ExposureReport {
  readonly levelDba: number;
  readonly minutes: number;
  readonly per: string;
  readonly listener: string;
  readonly weeklyDosePercent: number;
  readonly weeklyDosePercentRange?: { low: number; expected: number; high: number };
  readonly limits: {
    name: string;
    dosePercent: number;
    allowedMinutes: number;
    per: string;
    source: string;
  }[];
  readonly peakLimits?: { name: string; limitDbc: number; exceeded: boolean }[];
}

const folder = await temporaryFolder();

const exposure = (...args: string[]): Promise<ExposureReport> =>
  softknockJson<ExposureReport>('exposure', ...args);

const limitOf = ({ limits }: ExposureReport, name: string): ExposureReport['limits'][number] =>
  limits.find(limit => limit.name === name)!;

describe('the weekly allowance', () => {
  // ITU-T H.870: 75 dBA (children) and 80 dBA (adults) for 40 h a week are all of it.
  test.each([
    ['child', '75'],
    ['adult', '80'],
  ])('a %s uses all of it at %s dBA in 40 hours', async (listener, level) => {
    const report = await exposure(
      '--level',
      level,
      '--minutes',
      '2400',
      '--per',
      'week',
      '--listener',
      listener,
    );
    expect(report).toMatchObject({ levelDba: Number(level), minutes: 2400, per: 'week', listener });
    expect(report.weeklyDosePercent).toBeCloseTo(100, 3);
    expect(report.limits[0]).toMatchObject({ allowedMinutes: 2400, per: 'week' });
    expect(report.limits[0]!.dosePercent).toBe(report.weeklyDosePercent);
  });

  // 2.333 h x 10^((L - 75) / 10) / 40 h, by hand.
  test.each([
    ['60', 0.1845],
    ['70', 1.845],
    ['75', 5.833],
  ])('20 minutes a day at %s dBA are %f % of a child’s', async (level, percent) => {
    const { weeklyDosePercent, listener } = await exposure('--level', level, '--minutes', '20');
    expect(listener).toBe('child');
    expect(weeklyDosePercent).toBeCloseTo(percent, 3);
  });

  test('an uncertain level gives a range: 10 dB are a factor of ten', async () => {
    const report = await exposure('--level', '65', '--minutes', '20', '--uncertainty', '10');
    const { low, expected, high } = report.weeklyDosePercentRange!;
    expect(high / expected).toBeCloseTo(10, 4);
    expect(expected / low).toBeCloseTo(10, 4);
    expect(expected).toBe(report.weeklyDosePercent);
  });
});

describe('the other limits', () => {
  test('85 dBA for 8 hours is all of NIOSH’s and half of OSHA’s day', async () => {
    const report = await exposure('--level', '85', '--minutes', '480', '--per', 'day');
    expect(limitOf(report, 'NIOSH recommended limit')).toMatchObject({
      dosePercent: 100,
      allowedMinutes: 480,
    });
    expect(limitOf(report, 'OSHA permissible limit')).toMatchObject({
      dosePercent: 50,
      allowedMinutes: 960,
    });
    expect(limitOf(report, 'EU upper action value').dosePercent).toBeCloseTo(100, 3);
    expect(report.limits.every(({ source }) => source !== '')).toBe(true);
  });

  test('minutes of a week are spread over its days for daily limits', async () => {
    const report = await exposure('--level', '85', '--minutes', '3360', '--per', 'week');
    expect(limitOf(report, 'NIOSH recommended limit').dosePercent).toBeCloseTo(100, 3);
  });

  test('a peak is held against the limits on peaks, at its upper end', async () => {
    const report = await exposure(
      '--level',
      '60',
      '--minutes',
      '5',
      '--peak',
      '115',
      '--uncertainty',
      '6',
    );
    const exceeded = report
      .peakLimits!.filter(limit => limit.exceeded)
      .map(({ limitDbc }) => limitDbc);
    expect(exceeded).toEqual([120, 110]);
  });
});

describe('audio files', () => {
  test('count with their own levels and lengths', async () => {
    const loud = path.join(folder, 'loud.wav');
    const soft = path.join(folder, 'soft.wav');
    await writeFile(loud, floatWav([sine(1000, 6, 48_000, { peak: 0.1 })], 48_000));
    await writeFile(soft, floatWav([sine(1000, 3, 48_000, { peak: 0.01 })], 48_000));
    const list = path.join(folder, 'list.m3u8');
    await writeFile(list, '#EXTM3U\nloud.wav\nsoft.wav\n');
    // 70 dBA for 6 s and 50 dBA for 3 s, ten times a week: by hand re 75 dBA for 40 h.
    const percent = (100 * 10 * (6 * 10 ** -0.5 + 3 * 10 ** -2.5)) / (40 * 3600);
    for (const files of [[loud, soft], [list]]) {
      const report = await exposure(
        ...files,
        '--calibration',
        '90',
        '--times',
        '10',
        '--per',
        'week',
      );
      expect(report.weeklyDosePercent / percent).toBeCloseTo(1, 2);
      expect(report.minutes).toBeCloseTo(1.5, 6);
      // Nothing stated about the calibration is 5 dB.
      const { low, high } = report.weeklyDosePercentRange!;
      expect(high / low).toBeCloseTo(10, 3);
      expect(report.peakLimits!.every(({ exceeded }) => !exceeded)).toBe(true);
    }
  });
});

test('of several files, what is allowed is of their mixture, for every limit', async () => {
  const [loud, soft] = [path.join(folder, 'loud2.wav'), path.join(folder, 'soft2.wav')];
  await writeFile(loud, floatWav([sine(1000, 6, 48_000, { peak: 0.1 })], 48_000));
  await writeFile(soft, floatWav([sine(1000, 3, 48_000, { peak: 0.01 })], 48_000));
  const report = await exposure(
    loud,
    soft,
    '--calibration',
    '110',
    '--times',
    '100',
    '--per',
    'day',
  );
  expect(report.limits.length).toBeGreaterThan(4);
  for (const { name, per, dosePercent, allowedMinutes } of report.limits) {
    const minutes = report.minutes * (per === 'week' ? 7 : 1);
    expect((100 * minutes) / allowedMinutes / dosePercent, name).toBeCloseTo(1, 4);
  }
});

describe('audio files that are odd', () => {
  test('louder than any sound is the file’s mistake, not ours', async () => {
    const file = await written('huge.wav', floatWav([new Float64Array(48_000).fill(1e9)], 48_000));
    const { status, err } = await softknock('exposure', file, '--calibration', '120');
    expect(status).toBe(2);
    expect(err).toContain('huge.wav');
    expect(err).toContain('up to 200 dBA');
  });

  const written = async (name: string, bytes: Uint8Array | string): Promise<string> => {
    const file = path.join(folder, name);
    await writeFile(file, bytes);
    return file;
  };
  const data = integerBytes([1, 2, 3], 16);

  test.each<[string, Uint8Array | string, string]>([
    ['text.wav', 'a letter', 'a text file'],
    ['rate-0.wav', wavBytes({ data, sampleRateHz: 0 }), 'a sample rate of 0 Hz'],
    ['rate-1e9.wav', wavBytes({ data, sampleRateHz: 1e9 }), 'a sample rate of 1000000000 Hz'],
    ['no-samples.wav', wavBytes({ data: new Uint8Array(0) }), 'no samples'],
    ['nan.wav', floatWav([Float64Array.of(0, Number.NaN)], 48_000), 'got NaN at sample 1'],
    ['infinite.wav', floatWav([Float64Array.of(Infinity)], 48_000), 'got Infinity at sample 0'],
  ])('%s ends with 2 and says what was found', async (name, bytes, found) => {
    const file = await written(name, bytes);
    const { status, out, err } = await softknock('exposure', file, '--calibration', '90');
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(found);
  });

  test('silence uses nothing: null in JSON, a word in the table', async () => {
    const file = await written('silent.wav', floatWav([new Float64Array(48_000)], 48_000));
    const { out } = await softknock('exposure', file, '--calibration', '90', '--json');
    expect(out).not.toMatch(/NaN|Infinity/);
    const report = JSON.parse(out) as Omit<ExposureReport, 'levelDba'> & {
      readonly levelDba: null;
    };
    expect(report.levelDba).toBeNull();
    expect(report.weeklyDosePercent).toBe(0);
    expect(report.limits.map(({ allowedMinutes }) => allowedMinutes)).toEqual(
      report.limits.map(() => null),
    );
    const table = await softknock('exposure', file, '--calibration', '90');
    expect(table.out).toContain('Silence');
    expect(table.out).not.toMatch(/NaN|Infinity/);
    expect(table.err).toContain('silent');
  });

  test('eight channels, clipping and a header of 4 GiB count, the odd ones with a warning', async () => {
    const tone = sine(1000, 1, 48_000, { peak: 0.5 });
    const eight = await written(
      'eight.wav',
      floatWav(new Array<Float64Array>(8).fill(tone), 48_000),
    );
    const clipped = await written(
      'clipped.wav',
      floatWav([tone.map(x => Math.max(-1, Math.min(1, 4 * x)))], 48_000),
    );
    const samples = Array.from({ length: 5000 }, (_, i) => Math.round(9000 * Math.sin(i / 3)));
    const huge = await written(
      'huge.wav',
      wavBytes({ data: integerBytes(samples, 16), claimedBytes: 0xffff_ffff }),
    );
    const { status, err } = await softknock(
      'exposure',
      eight,
      clipped,
      huge,
      '--calibration',
      '90',
    );
    expect(status).toBe(0);
    expect(err).toContain('may be clipped');
    expect(err).toContain('claims 4294967295 bytes');
    expect(err).not.toContain('eight.wav');
  });
});

test('JSON has the keys that others rely on, and no others unless they are asked for', async () => {
  const report = await exposure('--level', '65', '--minutes', '20');
  expect(Object.keys(report)).toEqual([
    'levelDba',
    'minutes',
    'per',
    'listener',
    'weeklyDosePercent',
    'limits',
  ]);
  for (const limit of report.limits) {
    expect(Object.keys(limit)).toEqual(['name', 'dosePercent', 'allowedMinutes', 'per', 'source']);
  }
});

describe('the table', () => {
  test('says how long is allowed, and warns when all may be used up', async () => {
    const safe = await softknock('exposure', '--level', '60', '--minutes', '20');
    expect(safe.status).toBe(0);
    expect(safe.out).toContain('WHO-ITU, children');
    expect(safe.out).toContain('all week');
    expect(safe.out).not.toContain('softer or shorter');
    const loud = await softknock('exposure', '--level', '80', '--minutes', '120');
    expect(loud.out).toContain('12.6 h per week');
    expect(loud.out).toContain('softer or shorter');
  });

  test('--help gives an example and says what the levels are', async () => {
    const { out } = await softknock('exposure', '--help');
    expect(out).toContain('softknock exposure --level');
    expect(out).toContain('75 dBA');
  });
});

describe('questions that make no sense', () => {
  test.each([
    [[], '--level'],
    [['--level', '60'], '--minutes'],
    [['--level', '60', '--minutes', '20', '--calibration', '90'], '90 without audio files'],
    [['--level', '60', '--minutes', '20', '--times', '2'], '2 without audio files'],
    [['file.wav'], '--calibration'],
    [['file.wav', '--calibration', '90', '--level', '60'], '60 beside audio files'],
    [['--level', '60', '--minutes', '1441'], 'Did you mean --per week?'],
    [['--level', '60', '--minutes', '20', '--per', 'month'], 'Allowed choices are day, week'],
    [['--level', '60', '--minutes', '20', '--listener', 'dog'], 'Allowed choices are child, adult'],
    [['--level', 'loud', '--minutes', '20'], 'Allowed: 0 to 140 dBA'],
    [['--level', '60', '--minutes', '-1'], 'Allowed: 0 to 10080 minutes'],
    [['missing.wav', '--calibration', '90'], 'no such file'],
  ])('%j', async (args, found) => {
    const { status, out, err } = await softknock('exposure', ...args);
    expect(status).toBe(2);
    expect(err).toContain(found);
    expect(out).toBe('');
  });
});
