/** Values that cannot all be true: each rule at its edge. Arithmetic beside each case. */
import { describe, expect, test } from 'vitest';
import { findContradictions } from '../../src/protocol/contradictions.js';
import type { FieldName, FieldValue } from '../../src/protocol/fields.js';
import type { ScanType } from '../../src/protocol/scan.js';
import { openSidecars, describeWithOpenData } from '../helpers/open-data.js';

type Fields = Partial<Record<FieldName, FieldValue>>;
type Case = readonly [what: string, type: ScanType, right: Fields, wrong: Fields, allowed: RegExp];

const CASES: readonly Case[] = [
  [
    'an echo after the repetition time',
    'echo-planar',
    { EchoTime: 0.8, RepetitionTime: 0.8 },
    { EchoTime: 0.9 },
    /below the repetition time, 0\.8 s/,
  ],
  [
    'an echo after the next excitation',
    'inversion-gradient-echo-3d',
    { EchoTime: 0.003, RepetitionTimeExcitation: 0.007 },
    { EchoTime: 0.007 },
    /below 0\.007 s/,
  ],
  [
    'a second echo that is not the second',
    'field-map-gradient-echo',
    { EchoTime1: 0.00492, EchoTime2: 0.00738 },
    { EchoTime2: 0.00492 },
    /second echo after the first/,
  ],
  [
    // 40 x 7.38 ms = 295.2 ms.
    'slices whose second echoes do not fit',
    'field-map-gradient-echo',
    { EchoTime2: 0.00738, NumberOfSlices: 40, RepetitionTime: 0.2952 },
    { RepetitionTime: 0.28 },
    /at least 0\.2952 s/,
  ],
  [
    'a first echo that is another one',
    'gradient-echo-3d',
    { EchoTimes: [0.0094, 0.02], EchoTime: 0.0094 },
    { EchoTime: 0.02 },
    /first echo at 0\.02 s/,
  ],
  [
    'a second inversion time that is not the second',
    'inversion-gradient-echo-3d',
    { InversionTime: 0.7, InversionTime2: 2.5 },
    { InversionTime2: 0.7 },
    /second inversion time after the first/,
  ],
  [
    'a second inversion time as long as the time between inversions',
    'inversion-gradient-echo-3d',
    { InversionTime2: 2.5, RepetitionTime: 5 },
    { RepetitionTime: 2.5 },
    /second inversion time below/,
  ],
  [
    'an inversion time as long as the time between inversions',
    'inversion-gradient-echo-3d',
    { InversionTime: 0.9, RepetitionTime: 2.3 },
    { RepetitionTime: 0.9 },
    /inversion time below/,
  ],
  [
    // 176 x 7.2 ms = 1.2672 s.
    'a train of excitations longer than the time between inversions',
    'inversion-gradient-echo-3d',
    { RepetitionTimeExcitation: 0.0072, EchoTrainLength: 176, RepetitionTime: 1.2672 },
    { RepetitionTime: 1.2 },
    /= 1\.2672 s\)/,
  ],
  [
    'slices that the multiband factor does not divide',
    'echo-planar',
    { NumberOfSlices: 60, MultibandAccelerationFactor: 6 },
    { NumberOfSlices: 61 },
    /such as 60 or 66/,
  ],
  [
    // 60 / 6 = 10 shots x max(34 ms, 0.56 ms x 90 = 50.4 ms) = 504 ms.
    'shots that do not fit into a volume',
    'echo-planar',
    {
      NumberOfSlices: 60,
      MultibandAccelerationFactor: 6,
      EchoTime: 0.034,
      EchoSpacing: 0.00056,
      EchoTrainLength: 90,
      RepetitionTime: 0.504,
    },
    { RepetitionTime: 0.48 },
    /at least 0\.504 s for RepetitionTime: 10 shots of at least 0\.0504 s/,
  ],
  [
    // 280 x 3.8 ms = 1.064 s.
    'a train of spin echoes longer than the repetition time',
    'turbo-spin-echo-3d',
    { EchoSpacing: 0.0038, EchoTrainLength: 280, RepetitionTime: 1.064 },
    { RepetitionTime: 1 },
    /= 1\.064 s\)/,
  ],
  [
    // 0.28 ms x 2 = 0.56 ms.
    'a given spacing that is not effective spacing x acceleration',
    'echo-planar',
    { EchoSpacing: 0.00056, EffectiveEchoSpacing: 0.00028, ParallelReductionFactorInPlane: 2 },
    { EchoSpacing: 0.00028 },
    /= 0\.00056 s, within 5 %/,
  ],
  [
    // 1 / 2000 Hz = 0.5 ms.
    'a spacing shorter than the reading of a line',
    'echo-planar',
    { EchoSpacing: 0.0005, PixelBandwidth: 2000 },
    { EchoSpacing: 0.00045 },
    /at least 0\.0005 s/,
  ],
  [
    'more echoes than lines',
    'diffusion-echo-planar',
    { EchoTrainLength: 90, AcquisitionMatrixPE: 90 },
    { EchoTrainLength: 91 },
    /at most 90 echoes/,
  ],
  [
    // 0.9 s x 400 = 360 s; with 10 volumes and 20 s of preparation 389 s.
    'a duration longer than volumes and preparation',
    'echo-planar',
    { Duration: 389, RepetitionTime: 0.9, NumberOfVolumes: 400 },
    { Duration: 420 },
    /= 360 s, or up to 389 s/,
  ],
  [
    'a duration shorter than its volumes',
    'echo-planar',
    { Duration: 359.1, RepetitionTime: 0.9, NumberOfVolumes: 400 },
    { Duration: 300 },
    /= 360 s/,
  ],
  [
    'fewer volumes than directions',
    'diffusion-echo-planar',
    { NumberOfVolumes: 64, NumberOfDirections: 64 },
    { NumberOfVolumes: 63 },
    /each of the 64 directions/,
  ],
  [
    'diffusion lobes on top of one another',
    'diffusion-echo-planar',
    { DiffusionGradientSeparation: 0.02, DiffusionGradientDuration: 0.02 },
    { DiffusionGradientSeparation: 0.019 },
    /0\.02 s later or more/,
  ],
  [
    'diffusion lobes after the echo',
    'diffusion-echo-planar',
    { DiffusionGradientSeparation: 0.04, DiffusionGradientDuration: 0.02, EchoTime: 0.07 },
    { EchoTime: 0.06 },
    /= 0\.06 s\) before the echo/,
  ],
  [
    // 30 x 50 ms = 1.5 s, and 2 s of silence.
    'shots that do not fit into what a delay leaves',
    'echo-planar',
    { NumberOfSlices: 30, EchoTime: 0.05, RepetitionTime: 3.5, DelayTime: 2 },
    { DelayTime: 2.1 },
    /at least 3\.6 s for RepetitionTime: 30 shots of at least 0\.05 s .*, and the delay/,
  ],
  [
    // 100 x 0.8 s, two references of 6 x 0.8 s, 20 s and ten volumes: 80 + 9.6 + 20 + 8 = 117.6 s.
    'a duration longer than volumes, references and preparation',
    'echo-planar',
    {
      Duration: 117.6,
      RepetitionTime: 0.8,
      NumberOfVolumes: 100,
      NumberOfReferenceVolumes: 2,
      MultibandAccelerationFactor: 6,
    },
    { Duration: 120 },
    /= 80 s, or up to 117\.6 s/,
  ],
  [
    'labelling and delay as long as the repetition',
    'arterial-spin-labelling',
    { LabelingDuration: 1.8, PostLabelingDelay: 1.8, RepetitionTime: 4.4 },
    { RepetitionTime: 3.6 },
    /together 3\.6 s/,
  ],
];

describe('the rules', () => {
  test('there are twenty-three cases', () => {
    expect(CASES).toHaveLength(23);
  });

  test.each(CASES)('find %s, and nothing at the edge of it', (_, type, right, wrong, allowed) => {
    expect(findContradictions(type, right)).toEqual([]);
    const found = findContradictions(type, { ...right, ...wrong });
    expect(found).toHaveLength(1);
    expect(found[0]!.allowed).toMatch(allowed);
    for (const name of Object.keys({ ...right, ...wrong })) expect(found[0]!.found).toContain(name);
  });

  test('have nothing to say where a value is left out', () => {
    for (const [, type, right, wrong] of CASES) {
      const [first] = Object.keys(wrong) as FieldName[];
      const without = Object.fromEntries(Object.entries(right).filter(([name]) => name !== first));
      expect(findContradictions(type, without)).toEqual([]);
    }
  });
});

describe('what is left out', () => {
  test.each<[ScanType, Fields]>([
    ['field-map-gradient-echo', { EchoTime2: 0.007, RepetitionTime: 0.008 }],
    // A slab: its partitions take a repetition each.
    ['field-map-gradient-echo', { EchoTime2: 0.007, RepetitionTime: 0.012, NumberOfSlices: 48 }],
    ['echo-planar', { NumberOfSlices: 10, RepetitionTime: 0.5 }],
    ['echo-planar', { NumberOfSlices: 10, RepetitionTime: 0.5, EchoSpacing: 0.02 }],
    ['echo-planar', { EchoSpacing: 0.00056, EffectiveEchoSpacing: 0.00056 }],
    ['inversion-gradient-echo-3d', { RepetitionTimeExcitation: 0.9, RepetitionTime: 1 }],
  ])('means one slice, no acceleration, no echo yet: a %s of %j', (type, fields) => {
    expect(findContradictions(type, fields)).toEqual([]);
  });
});

describe('words', () => {
  test('name values with their units, and the nearest right ones', () => {
    const [late] = findContradictions('echo-planar', { EchoTime: 0.9, RepetitionTime: 0.8 });
    expect(late!.found).toBe('EchoTime 0.9 s, RepetitionTime 0.8 s');
    const few = { NumberOfSlices: 4, MultibandAccelerationFactor: 6 };
    const [odd] = findContradictions('echo-planar', few);
    expect(odd!.found).toBe('NumberOfSlices 4, MultibandAccelerationFactor 6');
    expect(odd!.allowed).toBe('a number of slices that 6 divides, such as 6');
  });
});

describeWithOpenData('real echo-planar sidecars', () => {
  const EPI = openSidecars().filter(({ json }) => json['DerivedVendorReportedEchoSpacing']);

  test('there are at least ten', () => {
    expect(EPI.length).toBeGreaterThanOrEqual(10);
  });

  test.each(EPI)('$path contradicts itself nowhere', ({ json }) => {
    const { RepetitionTime, EchoTime, EchoTrainLength, PixelBandwidth, SliceTiming } = json;
    const fields: Fields = {
      RepetitionTime: RepetitionTime as number,
      EchoTime: EchoTime as number,
      EchoSpacing: json['DerivedVendorReportedEchoSpacing'] as number,
      PixelBandwidth: PixelBandwidth as number,
      NumberOfSlices: (SliceTiming as number[]).length,
      MultibandAccelerationFactor: (json['MultibandAccelerationFactor'] ?? 1) as number,
      ...(EchoTrainLength === undefined ? {} : { EchoTrainLength: EchoTrainLength as number }),
    };
    expect(findContradictions('echo-planar', fields)).toEqual([]);
  });
});
