/**
 * Levels in the bore at 3 T against published ones: defaults by family, judged from some twenty
 * published surveys (Price 2001, Foster 2000, More 2006, Counter 1997, Akbar 2023 and others) to about
 * 8 dB, and their order: zero echo time quietest, multiband echo planar loudest.
 */
import { expect, test } from 'vitest';
import { measureSound } from '../../src/levels/measure-sound.js';
import { dbfsToDbSpl } from '../../src/levels/scan-levels.js';
import { studyOf } from '../helpers/study.js';

/** What the surveys leave open, in dB. */
const SPREAD_DB = 8;

/** Family, what is typical of it beyond its own typical values, and its published level in dBA. */
const FAMILIES: readonly (readonly [
  type: string,
  dba: number,
  fields?: Record<string, unknown>,
])[] = [
  ['echo-planar', 105],
  [
    'echo-planar',
    108,
    {
      RepetitionTime: 0.8,
      NumberOfSlices: 60,
      MultibandAccelerationFactor: 6,
      EchoSpacing: 0.00051,
      AcquisitionMatrixPE: 90,
      AcquisitionVoxelSize: [2.4, 2.4, 2.4],
      EchoTime: 0.03,
    },
  ],
  ['diffusion-echo-planar', 105],
  ['inversion-gradient-echo-3d', 96],
  ['turbo-spin-echo-3d', 98],
  ['turbo-spin-echo-2d', 95],
  ['gradient-echo-3d', 92],
  ['balanced-steady-state', 102],
  ['localiser', 95],
  ['field-map-gradient-echo', 93],
  ['arterial-spin-labelling', 98],
  ['spectroscopy', 82],
  ['zero-echo-time', 65],
  ['pause', 60],
];

const measured = new Map<string, number>();

test.each(FAMILIES)('%s: about %d dBA', (type, dba, fields = {}) => {
  const study = studyOf(type, fields);
  const sound = study.scanSound('scan', { durationS: 6, perspective: 'bore' });
  const level = dbfsToDbSpl(measureSound(sound).laeqDbfs);
  measured.set(fields.MultibandAccelerationFactor === undefined ? type : 'multiband', level);
  expect(Math.abs(level - dba)).toBeLessThanOrEqual(SPREAD_DB);
});

test('in the published order at both ends', () => {
  const sounding = [...measured].filter(([name]) => name !== 'pause');
  expect(sounding).toHaveLength(FAMILIES.length - 1);
  const order = sounding.toSorted((a, b) => a[1] - b[1]).map(([name]) => name);
  expect(order[0]).toBe('zero-echo-time');
  expect(order.at(-1)).toBe('multiband');
});
