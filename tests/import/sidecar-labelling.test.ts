/** What sidecars of arterial spin labelling tell; fields and units are those of BIDS. */
import { describe, expect, test } from 'vitest';
import { importSidecars } from '../../src/import/import-sidecars.js';
import { readLabelling } from '../../src/import/sidecar-labelling.js';
import { correctVoxel } from '../../src/import/sidecar-geometry.js';
import { given } from '../../src/protocol/origin.js';
import { Sidecar } from '../../src/import/sidecar.js';
import { describeWithOpenData, openSidecars } from '../helpers/open-data.js';
import { studyOf } from '../helpers/study.js';

const read = (json: Record<string, unknown>) => readLabelling(new Sidecar(json));

describe('the sidecar of arterial spin labelling', () => {
  test('gives labelling, delay, dimension and suppression', () => {
    const json = {
      ArterialSpinLabelingType: 'PCASL',
      LabelingDuration: 1.5,
      PostLabelingDelay: 1.6,
      LabelingPulseInterval: 0.92,
      MRAcquisitionType: '3D',
      BackgroundSuppression: true,
    };
    const { fields, notes } = read(json);
    for (const [name, value] of Object.entries(json)) {
      expect(fields[name as keyof typeof fields]).toMatchObject({ value, origin: 'given' });
    }
    expect(notes).toEqual([]);
  });

  test('of several delays gives the longest, and says so', () => {
    const { fields } = read({ PostLabelingDelay: [0, 0.7, 1.3, 2.1, 2.1] });
    expect(fields.PostLabelingDelay).toMatchObject({ value: 2.1, origin: 'derived' });
    expect(fields.PostLabelingDelay!.why).toContain('longest of 4');
  });

  test("one converter's name for the delay is understood, BIDS's goes first", () => {
    expect(read({ PostLabelDelay: 0.2 }).fields.PostLabelingDelay!.value).toBe(0.2);
    const both = read({ PostLabelDelay: 0.2, PostLabelingDelay: 1.8 });
    expect(both.fields.PostLabelingDelay!.value).toBe(1.8);
  });

  test('what is not sounded is noted', () => {
    expect(read({ BolusCutOffFlag: true }).notes.join()).toContain('not sounded');
    expect(read({ BolusCutOffFlag: false }).notes).toEqual([]);
  });

  test('nonsense gives nothing', () => {
    const json = {
      ArterialSpinLabelingType: 'XASL',
      LabelingDuration: 'long',
      PostLabelingDelay: [],
      MRAcquisitionType: '4D',
      BackgroundSuppression: 'yes',
    };
    expect(read(json)).toEqual({ fields: {}, notes: [] });
  });
});

describe('a voxel that no gradient could read in the echo spacing', () => {
  // 4 / (42.577 MHz/T x 1.7 mm x (0.5 ms)^2) = 221 T/m/s; with 3.4 mm it is 111 T/m/s.
  const fields = {
    AcquisitionVoxelSize: given([1.7, 1.7, 4], 'test'),
    EchoSpacing: given(0.0005, 'test'),
  };

  test('is that of an interpolated image: the acquired one follows from the two matrices', () => {
    const sidecar = new Sidecar({ ReconMatrixPE: 128, AcquisitionMatrixPE: 64 });
    const { AcquisitionVoxelSize } = correctVoxel(fields, sidecar);
    expect(AcquisitionVoxelSize).toMatchObject({ value: [3.4, 3.4, 4], origin: 'derived' });
    expect(AcquisitionVoxelSize!.why).toContain('interpolated');
  });

  test('stays as it is where nothing says so, and where it can be read', () => {
    expect(correctVoxel(fields, new Sidecar({}))).toEqual({});
    const same = new Sidecar({ ReconMatrixPE: 64, AcquisitionMatrixPE: 64 });
    expect(correctVoxel(fields, same)).toEqual({});
    const interpolated = new Sidecar({ ReconMatrixPE: 128, AcquisitionMatrixPE: 64 });
    const slow = { ...fields, EchoSpacing: given(0.0008, 'test') };
    expect(correctVoxel(slow, interpolated)).toEqual({});
  });
});

describe('labelling and delay that nobody gives', () => {
  const timesOf = (fields: Record<string, unknown>): readonly number[] => {
    const { scan } = studyOf('arterial-spin-labelling', fields).scans[0]!;
    return (['LabelingDuration', 'PostLabelingDelay', 'RepetitionTime'] as const).map(
      name => scan.fields[name]!.value as number,
    );
  };

  test('are 1.8 s each where the repetition is free, and follow from it where it is short', () => {
    const [labelling, delay, repetition] = timesOf({});
    expect([labelling, delay]).toEqual([1.8, 1.8]);
    expect(repetition).toBeGreaterThan(3.6 + 0.7);
    const [shorter, wait] = timesOf({ RepetitionTime: 3 });
    expect(shorter! + wait!).toBeLessThan(3 - 0.7);
    expect(shorter!).toBeCloseTo(wait!, 1);
  });

  test('pulsed labelling takes no time to speak of', () => {
    expect(timesOf({ ArterialSpinLabelingType: 'PASL', RepetitionTime: 3 })[0]).toBe(0.02);
  });
});

describeWithOpenData('three open sidecars', () => {
  const asl = openSidecars().filter(({ path }) => /asl__pcasl|CASL_cl|01_asl/.test(path));

  test('are there', () => {
    expect(asl).toHaveLength(3);
  });

  test.each(asl)('$path can be played as it is imported', file => {
    const { type, fields } = importSidecars([file]).scans[0]!;
    expect(type).toBe('arterial-spin-labelling');
    const values = Object.entries(fields).map(([name, { value }]) => [name, value] as const);
    const { played } = studyOf(type, Object.fromEntries(values)).scans[0]!;
    expect(played.timeline.segments.length).toBeGreaterThan(0);
  });

  test('the length of a labelling that a sidecar leaves out is near what its blocks make', () => {
    // 82 blocks of 20 pulses (a customer sequence; from memory), each 0.5 ms and a gap of 0.36 ms: 1.41 s.
    const file = asl.find(({ path }) => path.includes('pcasl_2d'))!;
    const { fields } = importSidecars([file]).scans[0]!;
    const values = Object.entries(fields).map(([name, { value }]) => [name, value] as const);
    const { scan } = studyOf('arterial-spin-labelling', Object.fromEntries(values)).scans[0]!;
    const gapSeconds = file.json['RFGap'] as number;
    const blocks = file.json['NumRFBlocks'] as number;
    const labelling = blocks * 20 * (0.0005 + gapSeconds);
    expect(labelling).toBeCloseTo(1.41, 2);
    expect(Math.abs((scan.fields.LabelingDuration!.value as number) / labelling - 1)).toBeLessThan(
      0.1,
    );
  });
});
