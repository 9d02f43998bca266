/**
 * What a scan must sound like, measured from the files that `render` writes: combs, odd harmonics,
 * pauses, thumps. The rules are those of the physics of pulse sequences: an echo-planar readout sounds
 * at 1 / (2 x echo spacing) and odd multiples, gated at the shot rate, so its energy lies on multiples
 * of the shot rate (Hedeen and Edelstein 1997; public study protocols for the numbers).
 */
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { softknock, softknockJson } from '../helpers/cli.js';
import { lineSpectrum, linesIn, strongestLine } from '../helpers/lines.js';
import { describeWithOpenData, SIDECAR_FOLDER } from '../helpers/open-data.js';
import { expectComb, scanRenderer } from '../helpers/rendered-scan.js';

const { folder, rendered, studyFile } = await scanRenderer();

describeWithOpenData('a real multiband sidecar, imported and rendered', () => {
  test('sounds on multiples of the shot rate that enclose 1/(2 x 0.58 ms)', async () => {
    const sidecar = 'bids-examples_eyetracking_fmri__sub-01_ses-01_task-rest_run-01_bold.json';
    const study = path.join(folder, 'bold.yaml');
    await softknockJson('import', path.join(SIDECAR_FOLDER, sidecar), '--out', study);
    const { scans } = parse(await readFile(study, 'utf8')) as { scans: { name: string }[] };
    const samples = await rendered(study, scans[0]!.name, 10);
    expectComb(samples, 1 / (2 * 0.00058), 12.5);
  });
});

/**
 * Public protocols: TR, slices, multiband factor, echo spacing, echoes (and what else shapes a shot),
 * with the strongest line as simulated from the gradient alone for a train that restarts with the
 * same polarity.
 */
describe('echo-planar protocols in public use', () => {
  test.each([
    {
      name: 'ABCD fMRI',
      TR: 0.8,
      slices: 60,
      mb: 6,
      spacing: 0.00051,
      echoes: 90,
      voxel: 2.4,
      TE: 0.03,
      line: 975,
    },
    {
      name: 'HCP young adult fMRI',
      TR: 0.72,
      slices: 72,
      mb: 8,
      spacing: 0.00058,
      echoes: 90,
      voxel: 2,
      TE: 0.0331,
      line: 862.5,
    },
    {
      name: 'HCP lifespan fMRI',
      TR: 0.8,
      slices: 72,
      mb: 8,
      spacing: 0.00058,
      echoes: 104,
      voxel: 2,
      TE: 0.037,
      line: 866.2,
    },
    {
      name: 'UK Biobank fMRI',
      TR: 0.735,
      slices: 64,
      mb: 8,
      spacing: 0.00064,
      echoes: 88,
      voxel: 2.4,
      TE: 0.039,
      line: 783.7,
    },
    {
      name: 'a single-band 3 mm protocol',
      TR: 2,
      slices: 32,
      mb: 1,
      spacing: 0.00051,
      echoes: 64,
      voxel: 3,
      TE: 0.03,
      line: 976,
    },
  ])('$name', async ({ TR, slices, mb, spacing, echoes, voxel, TE, line }) => {
    const study = await studyFile('echo-planar', {
      RepetitionTime: TR,
      EchoTime: TE,
      NumberOfSlices: slices,
      MultibandAccelerationFactor: mb,
      EchoSpacing: spacing,
      EchoTrainLength: echoes,
      AcquisitionMatrixPE: echoes,
      AcquisitionVoxelSize: [voxel, voxel, voxel],
    });
    const description = await softknockJson<{
      scans: { tones: { hertz: number }[]; rhythm: { hertz: number }[] }[];
    }>('describe', study);
    const { tones, rhythm } = description.scans[0]!;
    expect(Math.abs(tones[0]!.hertz * 2 * spacing - 1)).toBeLessThan(0.005);
    const rate = slices / mb / TR;
    expect(Math.abs(rhythm[0]!.hertz / rate - 1)).toBeLessThan(0.005);
    const samples = await rendered(study, 'scan', 8);
    expectComb(samples, 1 / (2 * spacing), rate);
    // The response can favour the neighbour of the simulated line, no other.
    const strongest = strongestLine(lineSpectrum(samples, 44_100), 600, 1200).hertz;
    expect(Math.abs(strongest - line)).toBeLessThan(1.01 * rate);
  });
});

test('the in-plane acceleration trap: effective 0.2733 ms at factor 3 sounds at 610 Hz, not at 1829 Hz', async () => {
  const study = await studyFile('diffusion-echo-planar', {
    RepetitionTime: 7,
    EchoTime: 0.0712,
    EffectiveEchoSpacing: 0.0002733285956376756,
    FatSaturation: false,
    ParallelReductionFactorInPlane: 3,
    AcquisitionMatrixPE: 200,
    NumberOfSlices: 132,
    MultibandAccelerationFactor: 2,
    AcquisitionVoxelSize: [1.25, 1.25, 1.25],
    DiffusionBValues: [0],
    NumberOfVolumes: 3,
  });
  const samples = await rendered(study, 'scan', 8);
  const tone = strongestLine(lineSpectrum(samples, 44_100), 400, 2500).hertz;
  expect(Math.abs(tone - 609.8)).toBeLessThan(66 / 7);
});

describe('the demo study', () => {
  const study = path.resolve(
    import.meta.dirname,
    '../../sounds-synth/studies/night-sky/study.yaml',
  );

  test('an echo-planar readout has its energy at odd multiples of its tone: 10 dB and more over even ones', async () => {
    const spectrum = lineSpectrum(await rendered(study, 'func-rest', 6), 44_100);
    const tone = 1 / (2 * 0.00056);
    const level = (multiple: number): number =>
      strongestLine(spectrum, multiple * tone - 15, multiple * tone + 15).levelDb;
    expect(level(1)).toBeGreaterThan(level(2) + 10);
    expect(level(3)).toBeGreaterThan(level(2));
  });

  test('an inversion-prepared scan buzzes at the excitation rate for 1.27 s in every 2.2 s, after a thud', async () => {
    const samples = await rendered(study, 't1-brain', 11);
    const rate = 1 / 0.0072;
    const train = lineSpectrum(
      samples.subarray(Math.round(0.4 * 44_100), Math.round(1.5 * 44_100)),
      44_100,
    );
    const strongest = strongestLine(train, 100, 3000).hertz;
    expect(Math.abs(strongest / rate - Math.round(strongest / rate))).toBeLessThan(0.01);
    // Level in 50 ms frames, re the loudest.
    const frame = 2205;
    const levels = Array.from({ length: Math.floor(samples.length / frame) }, (_, i) => {
      const part = samples.subarray(i * frame, (i + 1) * frame);
      return 10 * Math.log10(part.reduce((sum, x) => sum + x * x, 0) / frame);
    });
    const loudest = Math.max(...levels);
    const buzzing = levels.filter(level => level > loudest - 12).length / levels.length;
    expect(Math.abs(buzzing - 1.267 / 2.2)).toBeLessThan(0.04);
    // The thud at the very start stands out of the silence that follows.
    expect(levels[0]!).toBeGreaterThan(levels[4]! + 15);
  });

  test('a turbo spin echo rattles at the echo rate for 1.06 s in every 3.2 s', async () => {
    const samples = await rendered(study, 't2-brain', 10);
    const rate = 1 / 0.0038;
    const train = lineSpectrum(samples.subarray(4410, 4410 + 40_000), 44_100);
    const strongest = strongestLine(train, 200, 3000).hertz;
    expect(Math.abs(strongest / rate - Math.round(strongest / rate))).toBeLessThan(0.01);
    const energy = (fromSeconds: number, toSeconds: number): number =>
      samples
        .subarray(Math.round(fromSeconds * 44_100), Math.round(toSeconds * 44_100))
        .reduce((sum, x) => sum + x * x, 0) /
      (toSeconds - fromSeconds);
    expect(10 * Math.log10(energy(0.1, 1) / energy(1.5, 3.1))).toBeGreaterThan(25);
    expect(10 * Math.log10(energy(3.3, 4.2) / energy(0.1, 1))).toBeGreaterThan(-1.5);
  });

  test('diffusion thumps change with the direction: volumes with different lobes differ, shots in one do not', async () => {
    const samples = await rendered(study, 'diffusion', 22);
    // Below 500 Hz there is little but the lobes' thumps: compare volumes there.
    const bandOf = (fromSeconds: number): number[] => {
      const part = samples.subarray(
        Math.round(fromSeconds * 44_100),
        Math.round((fromSeconds + 2) * 44_100),
      );
      const { power, binHz } = lineSpectrum(part, 44_100);
      return [100, 200, 300, 400].map(low => {
        const bins = power.subarray(Math.round(low / binHz), Math.round((low + 100) / binHz));
        return 10 * Math.log10(bins.reduce((sum, p) => sum + p, 0));
      });
    };
    const distance = (a: number[], b: number[]): number =>
      Math.max(...a.map((level, i) => Math.abs(level - b[i]!)));
    const within = distance(bandOf(3.8), bandOf(3.8 + 0.15));
    const between = distance(bandOf(3.8), bandOf(7.4));
    expect(within).toBeLessThan(0.6);
    expect(between).toBeGreaterThan(1.5);
  });

  test('a localiser is a comb at the excitation rate', async () => {
    const spectrum = lineSpectrum(await rendered(study, 'localiser', 4), 44_100);
    const rate = 1 / 0.0086;
    for (const { hertz } of linesIn(spectrum, 300, 1500, 25)) {
      expect(Math.abs(hertz / rate - Math.round(hertz / rate))).toBeLessThan(0.02);
    }
  });

  test('field maps knock at the slice rate and beep at the shot rate', async () => {
    const gre = await softknock('describe', study, '--scan', 'fieldmap-gre');
    expect(gre.out).toContain('69.0 Hz');
    const epi = await rendered(study, 'fieldmap-epi', 6);
    expectComb(epi, 1 / (2 * 0.00056), 60 / 6.6);
  });
});
