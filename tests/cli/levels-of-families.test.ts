/**
 * Levels in the bore at 3 T against published ones: defaults by family, judged from some twenty
 * published surveys (Price 2001, Foster 2000, More 2006, Counter 1997, Akbar 2023 and others) to about
 * 8 dB, and their order: zero echo time quietest, multiband echo planar loudest.
 */
import { expect, test } from 'vitest';
import { measureSound } from '../../src/levels/measure-sound.js';
import { dbfsToDbSpl } from '../../src/levels/scan-levels.js';
import type { ScanType } from '../../src/protocol/scan.js';
import { studyOf } from '../helpers/study.js';

/** What the surveys leave open, in dB. */
const SPREAD_DB = 8;

interface Family {
  readonly type: ScanType;
  /** Published level in dBA. */
  readonly dba: number;
  /** What is typical beyond the family's own typical values. */
  readonly fields?: Readonly<Record<string, unknown>>;
}

/** A multiband series as public studies run it. */
const MULTIBAND: Family = {
  type: 'echo-planar',
  dba: 108,
  fields: {
    RepetitionTime: 0.8,
    NumberOfSlices: 60,
    MultibandAccelerationFactor: 6,
    EchoSpacing: 0.00051,
    AcquisitionMatrixPE: 90,
    AcquisitionVoxelSize: [2.4, 2.4, 2.4],
    EchoTime: 0.03,
  },
};

const FAMILIES: readonly Family[] = [
  { type: 'echo-planar', dba: 105 },
  MULTIBAND,
  { type: 'diffusion-echo-planar', dba: 105 },
  { type: 'inversion-gradient-echo-3d', dba: 96 },
  { type: 'turbo-spin-echo-3d', dba: 98 },
  { type: 'turbo-spin-echo-2d', dba: 95 },
  { type: 'gradient-echo-3d', dba: 92 },
  { type: 'balanced-steady-state', dba: 102 },
  { type: 'localiser', dba: 95 },
  { type: 'field-map-gradient-echo', dba: 93 },
  { type: 'arterial-spin-labelling', dba: 98 },
  { type: 'spectroscopy', dba: 82 },
  { type: 'zero-echo-time', dba: 65 },
  { type: 'pause', dba: 60 },
];

/** Measured level of each family, in dBA. */
const measured = new Map<Family, number>();

test.each(FAMILIES)('$type: about $dba dBA', family => {
  const study = studyOf(family.type, family.fields ?? {});
  const sound = study.scanSound('scan', { durationSeconds: 6, perspective: 'bore' });
  const level = dbfsToDbSpl(measureSound(sound).laeqDbfs);
  measured.set(family, level);
  expect(Math.abs(level - family.dba)).toBeLessThanOrEqual(SPREAD_DB);
});

test('in the published order at both ends', () => {
  const scans = [...measured].filter(([{ type }]) => type !== 'pause');
  expect(scans).toHaveLength(FAMILIES.length - 1);
  const order = scans.toSorted((a, b) => a[1] - b[1]).map(([family]) => family);
  expect(order[0]!.type).toBe('zero-echo-time');
  expect(order.at(-1)).toBe(MULTIBAND);
});
