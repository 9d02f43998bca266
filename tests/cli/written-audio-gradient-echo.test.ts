/**
 * What gradient echoes must sound like, measured from the files that `render` writes. Repetition and
 * inner repetition times are those of public study protocols; that a scan which repeats every T sounds
 * on multiples of 1/T is arithmetic.
 */
import { describe, expect, test } from 'vitest';
import { softknockJson } from '../helpers/cli.js';
import { lineSpectrum, linesIn, strongestLine } from '../helpers/lines.js';
import { scanRenderer } from '../helpers/rendered-scan.js';

const { rendered, studyFile, studyOfScans } = await scanRenderer();

const SAMPLE_RATE_HZ = 44_100;

/** Seconds rendered: 2^17 samples, and a little. */
const SECONDS = 3;

/** Lines lie on their comb to this share. */
const COMB_ERROR = 0.001;

/** Predicted tones and rates agree with the protocol, and with what is measured, to this share. */
const TONE_ERROR = 0.005;

interface Description {
  readonly scans: readonly {
    readonly name: string;
    readonly tones: readonly { readonly hertz: number; readonly cause: string }[];
    readonly rhythm: readonly { readonly hertz: number }[];
    readonly levels: { readonly boreLaeqDba: { readonly expected: number } };
  }[];
}

const isNear = (hertz: number, wanted: number, share: number): boolean =>
  Math.abs(hertz / wanted - 1) < share;

/** Level in dB of `count` stretches of a sound, as long as one another. */
function stretchLevels(samples: Float64Array, count: number): readonly number[] {
  const length = Math.floor(samples.length / count);
  return Array.from({ length: count }, (_, i) => {
    const part = samples.subarray(i * length, (i + 1) * length);
    return 10 * Math.log10(part.reduce((sum, x) => sum + x * x, 0) / length);
  });
}

interface Comb {
  readonly title: string;
  readonly type: string;
  readonly fields: Readonly<Record<string, unknown>>;
  /** As the protocol's facts are printed. */
  readonly hertz: number;
  /** It plays without rest in this stretch, in s; always where left out. */
  readonly playing?: readonly [fromSeconds: number, toSeconds: number];
  /** Partition encoding, or turning, puts lines this far beside the multiples, in Hz. */
  readonly besideHz?: number;
}

const COMBS: readonly Comb[] = [
  {
    title: 'susceptibility imaging of a large study: TR 27 ms, echoes at 9.4 and 20 ms',
    type: 'gradient-echo-3d',
    fields: {
      RepetitionTime: 0.027,
      EchoTimes: [0.0094, 0.02],
      AcquisitionVoxelSize: [0.8, 0.8, 3],
      NumberOfSlices: 48,
    },
    hertz: 37.04,
    besideHz: 1 / (48 * 0.027),
  },
  {
    title: 'a scout: TR 3.15 ms, TE 1.37 ms, 128 slices of 1.6 mm, 14 s',
    type: 'gradient-echo-3d',
    fields: {
      RepetitionTime: 0.00315,
      EchoTime: 0.00137,
      AcquisitionVoxelSize: [1.6, 1.6, 1.6],
      NumberOfSlices: 128,
      SliceOrientation: 'sagittal',
      Duration: 14,
    },
    hertz: 317.5,
    besideHz: 1 / (128 * 0.00315),
  },
  {
    title: 'quick excitations of an infant study: 5.74 ms apart',
    type: 'gradient-echo-3d',
    fields: { RepetitionTime: 0.00574, AcquisitionVoxelSize: [1, 1, 1], NumberOfSlices: 160 },
    hertz: 174.2,
    besideHz: 1 / (160 * 0.00574),
  },
  {
    title: 'an inversion-prepared scan with 7.6 ms between excitations, in its train',
    type: 'inversion-gradient-echo-3d',
    fields: {
      RepetitionTime: 2.4,
      InversionTime: 1,
      RepetitionTimeExcitation: 0.0076,
      EchoTime: 0.00214,
      PixelBandwidth: 210,
      AcquisitionVoxelSize: [0.7, 0.7, 0.7],
      NumberOfSlices: 256,
      EchoTrainLength: 224,
    },
    hertz: 131.6,
    playing: [0.25, 1.75],
  },
  {
    title: 'spiral speech imaging: TR 6.004 ms, 13 interleaves',
    type: 'spiral',
    fields: { RepetitionTime: 0.006004, NumberShots: 13 },
    hertz: 166.56,
    besideHz: 1 / (13 * 0.006004),
  },
  {
    title: 'balanced steady state in 2D: TR 4.2 ms',
    type: 'balanced-steady-state',
    fields: { RepetitionTime: 0.0042 },
    hertz: 238.1,
  },
  {
    title: 'balanced steady state in 3D: TR 5 ms',
    type: 'balanced-steady-state',
    fields: {
      MRAcquisitionType: '3D',
      RepetitionTime: 0.005,
      AcquisitionVoxelSize: [0.9, 0.9, 0.9],
      NumberOfSlices: 64,
    },
    hertz: 200,
    besideHz: 1 / (64 * 0.005),
  },
  {
    title: 'spokes 5.5 ms apart',
    type: 'radial-gradient-echo',
    fields: { RepetitionTime: 0.0055, NumberShots: 240 },
    hertz: 181.82,
    besideHz: 1 / (480 * 0.0055),
  },
  {
    title: 'slices in turn: 25 in 0.5 s',
    type: 'gradient-echo-2d',
    fields: { RepetitionTime: 0.5, NumberOfSlices: 25 },
    hertz: 50,
  },
];

describe('protocols in public use, and some of ours', async () => {
  const study = await studyOfScans(COMBS);
  const { scans } = await softknockJson<Description>('describe', study);

  test.each(COMBS.map((comb, i) => ({ ...comb, ...scans[i]! })))(
    '$title: on multiples of $hertz Hz, the strongest where it is predicted',
    async ({ name, hertz, playing = [0, SECONDS], besideHz = 0, tones, rhythm }) => {
      const rate = rhythm[0]!.hertz;
      expect(isNear(rate, hertz, TONE_ERROR)).toBe(true);

      const [fromSeconds, toSeconds] = playing;
      const samples = (await rendered(study, name, toSeconds)).subarray(
        fromSeconds * SAMPLE_RATE_HZ,
      );
      const spectrum = lineSpectrum(samples, SAMPLE_RATE_HZ);
      const strongest = strongestLine(spectrum, 100, 4000).hertz;
      expect(tones.some(tone => isNear(strongest, tone.hertz, TONE_ERROR))).toBe(true);

      const lines = linesIn(spectrum, 100, 4000, 15);
      expect(lines.length).toBeGreaterThanOrEqual(3);
      for (const line of lines) {
        const places = [-2, -1, 0, 1, 2].map(beside => {
          const onComb = Math.round((line.hertz - beside * besideHz) / rate) * rate;
          return onComb + beside * besideHz;
        });
        const nearest = Math.min(...places.map(place => Math.abs(line.hertz / place - 1)));
        expect(nearest, `${line.hertz} Hz for a rate of ${rate} Hz`).toBeLessThan(COMB_ERROR);
      }
    },
  );
});

test('the comb of a spiral is there at the rate of its excitations itself', async () => {
  const study = await studyFile('spiral', { RepetitionTime: 0.006004, NumberShots: 13 });
  const spectrum = lineSpectrum(await rendered(study, 'scan', SECONDS), SAMPLE_RATE_HZ);
  for (const multiple of [3, 4, 7]) {
    const wanted = multiple * 166.5556;
    const { hertz } = strongestLine(spectrum, wanted - 5, wanted + 5);
    expect(isNear(hertz, wanted, COMB_ERROR)).toBe(true);
  }
});

test('each spiral is a downward chirp: its end sounds lower than its start', async () => {
  // One spiral per slice, 66.7 ms apart: they can be told apart by ear.
  const study = await studyFile('spiral', {
    RepetitionTime: 2,
    NumberOfSlices: 30,
    EchoTime: 0.025,
    AcquisitionVoxelSize: [3.4, 3.4, 4],
    BaseResolution: 64,
  });
  const samples = await rendered(study, 'scan', 2);
  /** Mean frequency, weighted by power, of 6 ms of every shot from a time after its echo. */
  const centroid = (afterSeconds: number): number => {
    let [sum, weighted] = [0, 0];
    for (let shot = 2; shot < 20; shot++) {
      const from = Math.round(((shot * 2) / 30 + 0.026 + afterSeconds) * SAMPLE_RATE_HZ);
      const { power, binHz } = lineSpectrum(samples.subarray(from, from + 256), SAMPLE_RATE_HZ);
      for (let bin = 1; bin * binHz < 5000; bin++) {
        sum += power[bin]!;
        weighted += power[bin]! * bin * binHz;
      }
    }
    return weighted / sum;
  };
  expect(centroid(0.001)).toBeGreaterThan(1.15 * centroid(0.015));
});

test('two inversion times buzz twice in every repetition', async () => {
  const study = await studyFile('inversion-gradient-echo-3d', {
    RepetitionTime: 4,
    InversionTime: 0.7,
    InversionTime2: 2.4,
    RepetitionTimeExcitation: 0.0068,
    PixelBandwidth: 260,
    EchoTrainLength: 150,
    NumberOfSlices: 150,
  });
  const levels = stretchLevels(await rendered(study, 'scan', 4), 80);
  const loudest = Math.max(...levels);
  const buzzing = levels.map(level => level > loudest - 12);
  // 50 ms each: trains of 1.02 s from 0.195 s and from 1.895 s, a thud from the inversion before.
  const starts = buzzing.flatMap((on, i) => (on && !buzzing[i - 1] && buzzing[i + 2] ? [i] : []));
  expect(starts.map(i => i * 0.05).map(s => Math.abs(s - (s < 1 ? 0.195 : 1.895)) < 0.06)).toEqual([
    true,
    true,
  ]);
  expect(Math.abs(buzzing.filter(Boolean).length * 0.05 - 2.04)).toBeLessThan(0.2);
});

test('a navigator adds a burst of 0.3 s to the pause of every repetition', async () => {
  const fields = {
    RepetitionTime: 2.5,
    InversionTime: 1.06,
    RepetitionTimeExcitation: 0.0072,
    PixelBandwidth: 250,
    NumberOfSlices: 176,
  };
  const levelsOf = async (Navigator: boolean): Promise<readonly number[]> => {
    const study = await studyFile('inversion-gradient-echo-3d', { ...fields, Navigator });
    return stretchLevels(await rendered(study, 'scan', 2.5), 50);
  };
  const [without, having] = [await levelsOf(false), await levelsOf(true)];
  const changes = having.map((level, i) => level - without[i]!);
  // The two files are not scaled alike: what is the same in both shows by how much.
  const same = changes.toSorted((a, b) => a - b)[25]!;
  const added = changes.map(change => change - same);
  expect(Math.abs(added.filter(db => db > 10).length * 0.05 - 0.31)).toBeLessThan(0.11);
  expect(added.filter(db => Math.abs(db) < 0.1).length).toBeGreaterThan(30);
});

/**
 * Levels in the bore at 3 T in dBA, with 8 dB to either side: a judgement from published measurements
 * (82.5 to 118.4 dBA for fast sequences, Price and others, J Magn Reson Imaging 2001).
 */
const LEVELS: Readonly<Record<string, number>> = {
  'zero-echo-time': 65,
  'gradient-echo-3d': 92,
  'gradient-echo-2d': 93,
  'field-map-gradient-echo': 93,
  localiser: 95,
  'inversion-gradient-echo-3d': 96,
  'balanced-steady-state': 102,
};

test('levels are those of their kind; zero echo time is the quietest, little above an idle scanner', async () => {
  const types = [...Object.keys(LEVELS), 'spiral', 'radial-gradient-echo'];
  const study = await studyOfScans(types.map(type => ({ type, fields: {} })));
  const { scans } = await softknockJson<Description>('describe', study);
  const levels = new Map(scans.map((scan, i) => [types[i], scan.levels.boreLaeqDba.expected]));
  for (const [type, level] of Object.entries(LEVELS)) {
    expect(Math.abs(levels.get(type)! - level), type).toBeLessThanOrEqual(8);
  }
  const [quietest, ...louder] = [...levels.values()].sort((a, b) => a - b);
  expect(quietest).toBe(levels.get('zero-echo-time'));
  // Idle: 60 dBA, of fan and cryocooler.
  expect(quietest).toBeGreaterThan(60.3);
  for (const level of louder) {
    expect(level).toBeGreaterThan(82.5);
    expect(level).toBeLessThan(118.4);
  }
});
