/** Sidecars -> scans: everything that is in the open data, folding, naming, privacy, junk. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { draftOfImport } from '../../src/import/import-draft.js';
import { importSidecars, type SidecarFile } from '../../src/import/import-sidecars.js';
import { readStudyFile } from '../../src/protocol/read-study-file.js';
import { writeStudyFile } from '../../src/protocol/write-study-file.js';
import { describeWithOpenData, openSidecars } from '../helpers/open-data.js';

/** Tones of echo-planar scans lie here, in Hz. */
const TONE_HZ = { min: 250, max: 1700 };

const BOLD = {
  MRAcquisitionType: '2D',
  ScanningSequence: 'EP',
  RepetitionTime: 0.9,
  EchoTime: 0.03,
};

const importJson = (files: Readonly<Record<string, unknown>>) =>
  importSidecars(Object.entries(files).map(([path, json]) => ({ path, json })));

/** Imported, written and read back. */
const throughFile = (files: readonly SidecarFile[]) =>
  readStudyFile(writeStudyFile(draftOfImport(importSidecars(files))), 'study.yaml');

describeWithOpenData('the open data', () => {
  const files = openSidecars();
  const result = importSidecars(files);

  test('every sidecar is imported or skipped with a reason, once', () => {
    const mentioned = [
      ...result.scans.flatMap(scan => scan.files),
      ...result.skipped.map(({ file }) => file),
    ];
    expect(mentioned.sort()).toEqual(files.map(({ path }) => path));
    expect(result.scans).toHaveLength(44);
    expect(result.skipped).toEqual([]);
  });

  test('no echo-planar scan has a tone outside 250 to 1700 Hz', () => {
    const tones = result.scans
      .filter(({ type }) => type.includes('echo-planar'))
      .flatMap(({ fields }) =>
        fields.EchoSpacing ? [0.5 / (fields.EchoSpacing.value as number)] : [],
      );
    expect(tones).toHaveLength(21);
    expect(Math.min(...tones)).toBeGreaterThan(TONE_HZ.min);
    expect(Math.max(...tones)).toBeLessThan(TONE_HZ.max);
  });

  test('the two without echo spacing say that it is missing', () => {
    const without = result.scans.filter(
      ({ type, fields }) => type.includes('echo-planar') && fields.EchoSpacing === undefined,
    );
    expect(without.map(scan => scan.files[0])).toEqual([
      'ds002790__sub-0001_task-restingstate_acq-seq_bold.json',
      'ds002790__sub-0001_dwi.json',
    ]);
    for (const { missing } of without) expect(missing).toContain('EchoSpacing');
  });

  test('the file that is written reads back with every scan and value', () => {
    const study = throughFile(files);
    expect(study.scans.map(({ name }) => name)).toEqual(result.scans.map(({ name }) => name));
    for (const [i, { fields }] of study.scans.entries()) {
      const values = Object.entries(result.scans[i]!.fields).map(([name, { value }]) => [
        name,
        value,
      ]);
      expect(fields).toEqual(Object.fromEntries(values));
    }
  });

  test.each(files)('$path gives a file that reads back, or nothing', file => {
    const alone = importSidecars([file]);
    expect(alone.scans.length + alone.skipped.length).toBe(1);
    if (alone.scans.length === 1) expect(throughFile([file]).scans).toHaveLength(1);
  });

  test('the multiband fMRI example is as its sidecar says', () => {
    const [rest] = importSidecars(
      files.filter(({ path }) => path.includes('task-rest_run-01')),
    ).scans;
    expect(rest).toMatchObject({
      name: 'func-rest',
      type: 'echo-planar',
      fields: {
        RepetitionTime: { value: 0.8, origin: 'given' },
        EchoSpacing: { value: 0.000580013, origin: 'given' },
        NumberOfSlices: { value: 60, origin: 'derived' },
        MultibandAccelerationFactor: { value: 6, origin: 'given' },
        FatSaturation: { value: true, origin: 'derived' },
      },
    });
  });

  test('the susceptibility scan is as its sidecar says: TR 27 ms, TE 20 ms, 120 Hz per pixel', () => {
    const [swi] = importSidecars(files.filter(({ path }) => path.includes('part-mag_GRE'))).scans;
    expect(swi).toMatchObject({
      name: 'swi',
      type: 'gradient-echo-3d',
      fields: {
        RepetitionTime: { value: 0.027, origin: 'given' },
        EchoTime: { value: 0.02, origin: 'given' },
        PixelBandwidth: { value: 120, origin: 'given' },
        ParallelReductionFactorInPlane: { value: 2, origin: 'given' },
      },
    });
  });

  test('one train of two imported alone: its inversion time is given, the other assumed', () => {
    const [scan] = importSidecars(files.filter(({ path }) => path.includes('INV1'))).scans;
    expect(scan).toMatchObject({
      name: 't1',
      type: 'inversion-gradient-echo-3d',
      fields: {
        RepetitionTime: { value: 5, origin: 'given' },
        InversionTime: { value: 0.822, origin: 'given' },
        InversionTime2: { value: 2.5, origin: 'assumed' },
      },
    });
  });

  test('no name of a person, place or device, no date and no free text goes into the study file', () => {
    const text = writeStudyFile(draftOfImport(result));
    const identifying = files.flatMap(({ json }) =>
      Object.entries(json).flatMap(([key, value]) =>
        /Institution|Station|Serial|Patient|Date|Time$|Wip|Comments|Operator|Physician|UID|Study|Series|Protocol|Procedure|PulseSequenceDetails|Consistency/.test(
          key,
        ) &&
        typeof value === 'string' &&
        value.length > 3
          ? [value]
          : [],
      ),
    );
    expect(identifying.length).toBeGreaterThan(200);
    for (const value of identifying) expect(text).not.toContain(value);
  });
});

describe('what makers mean by the repetition time of an inversion-prepared scan', () => {
  const T1 = { MRAcquisitionType: '3D', ScanningSequence: 'GR', PulseSequenceName: 'T1TFE' };
  const fieldsOf = (json: Record<string, unknown>) =>
    importJson({ 'sub-1_T1w.json': json }).scans[0]!.fields;

  test('below 0.1 s it is the time between excitations', () => {
    const fields = fieldsOf({ ...T1, RepetitionTime: 0.0065 });
    expect(fields.RepetitionTimeExcitation).toMatchObject({ value: 0.0065, origin: 'derived' });
    expect(fields.RepetitionTime).toBeUndefined();
  });

  test('above it is the time between inversions', () => {
    expect(fieldsOf({ ...T1, RepetitionTime: 2.25 }).RepetitionTime).toMatchObject({ value: 2.25 });
  });

  test('BIDS has names of its own for the two', () => {
    const fields = fieldsOf({
      ...T1,
      RepetitionTimePreparation: 2.3,
      RepetitionTimeExcitation: 0.007,
    });
    expect([fields.RepetitionTime!.value, fields.RepetitionTimeExcitation!.value]).toEqual([
      2.3, 0.007,
    ]);
  });
});

describe('several inversions and echoes', () => {
  const T1 = { MRAcquisitionType: '3D', ScanningSequence: 'GR\\IR', RepetitionTime: 5 };

  test('both trains of an inversion are one scan with both inversion times', () => {
    const { scans } = importJson({
      'sub-1_inv-1_MP2RAGE.json': { ...T1, InversionTime: 0.7, EchoTime: 0.003 },
      'sub-1_inv-2_MP2RAGE.json': { ...T1, InversionTime: 2.5, EchoTime: 0.003 },
    });
    expect(scans).toHaveLength(1);
    const { fields } = scans[0]!;
    expect([fields.InversionTime!.value, fields.InversionTime2!.value]).toEqual([0.7, 2.5]);
    expect(fields.EchoTime!.value).toBe(0.003);
  });

  test("so are a converter's files of them", () => {
    const { scans } = importJson({
      '2_t1_mp2rage_INV1.json': { ...T1, SeriesDescription: 'mp2rage', InversionTime: 0.7 },
      '3_t1_mp2rage_INV2.json': { ...T1, SeriesDescription: 'mp2rage', InversionTime: 2.5 },
    });
    expect(scans.map(({ fields }) => fields.InversionTime2!.origin)).toEqual(['given']);
  });

  test('of the second train alone, the first is assumed', () => {
    const { fields } = importJson({ 'sub-1_inv-2_MP2RAGE.json': { ...T1, InversionTime: 2.7 } })
      .scans[0]!;
    expect(fields.InversionTime!.origin).toBe('assumed');
    expect(fields.InversionTime2).toMatchObject({ value: 2.7, origin: 'given' });
  });

  test('all echoes of a multi-echo gradient echo are sounded', () => {
    const echo = (EchoTime: number) => ({
      MRAcquisitionType: '3D',
      RepetitionTime: 0.027,
      EchoTime,
    });
    const { scans } = importJson({
      'sub-1_echo-1_part-mag_MEGRE.json': echo(0.0094),
      'sub-1_echo-2_part-mag_MEGRE.json': echo(0.02),
      'sub-1_echo-1_part-phase_MEGRE.json': echo(0.0094),
    });
    expect(scans).toHaveLength(1);
    expect(scans[0]!.name).toBe('megre');
    expect(scans[0]!.fields.EchoTimes!.value).toEqual([0.0094, 0.02]);
    expect(scans[0]!.notes).toEqual([]);
  });

  test('the time between excitations is the repetition time of a scan without inversion', () => {
    const json = { MRAcquisitionType: '3D', RepetitionTimeExcitation: 0.025, EchoTime: 0.003 };
    const { fields } = importJson({ 'sub-1_flip-1_VFA.json': json }).scans[0]!;
    expect(fields.RepetitionTime).toMatchObject({ value: 0.025, origin: 'given' });
  });

  test('slices of a 2D gradient echo are counted from SliceTiming', () => {
    const json = { MRAcquisitionType: '2D', RepetitionTime: 0.5, SliceTiming: [0, 0.1, 0.2, 0.3] };
    const { fields, type } = importJson({ 'sub-1_T2starw.json': json }).scans[0]!;
    expect([type, fields.NumberOfSlices!.value]).toEqual(['gradient-echo-2d', 4]);
  });
});

describe('folding', () => {
  const names = (paths: readonly string[], json: (path: string) => object = () => BOLD) =>
    importJson(Object.fromEntries(paths.map(path => [path, json(path)]))).scans.map(
      ({ name, files }) => `${name} ${files.length}`,
    );

  test('echoes, runs, magnitude and phase, and the single-band reference are one scan', () => {
    const paths = [
      'sub-1/func/sub-1_task-rest_run-1_echo-1_part-mag_bold.json',
      'sub-1/func/sub-1_task-rest_run-1_echo-1_part-phase_bold.json',
      'sub-1/func/sub-1_task-rest_run-1_echo-2_part-mag_bold.json',
      'sub-1/func/sub-1_task-rest_run-2_echo-1_part-mag_bold.json',
      'sub-1/func/sub-1_task-rest_run-1_sbref.json',
    ];
    const echo = (path: string) => ({ ...BOLD, EchoTime: path.includes('echo-2') ? 0.06 : 0.03 });
    expect(names(paths, echo)).toEqual(['func-rest 5']);
    const { scans } = importJson(Object.fromEntries(paths.map(path => [path, echo(path)])));
    expect(scans[0]!.fields.EchoTime!.value).toBe(0.03);
    expect(scans[0]!.notes.join()).toMatch(/2 echo times; the first is sounded/);
  });

  test('the images of a field map are one scan with both echo times', () => {
    const paths = ['magnitude1', 'magnitude2', 'phasediff'].map(
      suffix => `sub-1/fmap/sub-1_${suffix}.json`,
    );
    const { scans } = importJson(
      Object.fromEntries(
        paths.map((path, i) => [
          path,
          { RepetitionTime: 0.6, EchoTime: i === 0 ? 0.00492 : 0.00738 },
        ]),
      ),
    );
    expect(scans).toHaveLength(1);
    expect(scans[0]!.files).toEqual(paths);
    expect(scans[0]!.fields.EchoTime1!.value).toBe(0.00492);
    expect(scans[0]!.fields.EchoTime2!.value).toBe(0.00738);
  });

  test('a phase difference says both echo times itself', () => {
    const json = { RepetitionTime: 0.6, EchoTime: 0.00738, EchoTime1: 0.005, EchoTime2: 0.0075 };
    const { fields } = importJson({ 'sub-1/fmap/sub-1_phasediff.json': json }).scans[0]!;
    expect([fields.EchoTime1!.value, fields.EchoTime2!.value]).toEqual([0.005, 0.0075]);
  });

  test("a converter's echoes and phase images are one scan", () => {
    const json = {
      SequenceName: '*fm2d2r',
      MRAcquisitionType: '2D',
      ScanningSequence: 'GR',
      RepetitionTime: 0.6,
    };
    const paths = [
      '8_gre_field_mapping_e1.json',
      '8_gre_field_mapping_e2.json',
      '9_gre_field_mapping_e2_ph.json',
    ];
    expect(names(paths, () => json)).toEqual(['fieldmap-gre 3']);
  });

  test('tasks are scans of their own', () => {
    expect(names(['sub-1_task-rest_bold.json', 'sub-1_task-film_bold.json'])).toEqual([
      'func-rest 1',
      'func-film 1',
    ]);
  });

  test('directions of the field map are scans of their own', () => {
    expect(names(['sub-1_dir-AP_epi.json', 'sub-1_dir-PA_epi.json'])).toEqual([
      'fieldmap-epi-ap 1',
      'fieldmap-epi-pa 1',
    ]);
  });

  test('runs with another repetition time are scans of their own', () => {
    const slow = (path: string) => ({ ...BOLD, RepetitionTime: path.includes('run-3') ? 2 : 0.9 });
    const paths = [1, 2, 3].map(run => `sub-1_task-rest_run-${run}_bold.json`);
    expect(names(paths, slow)).toEqual(['func-rest 2', 'func-rest-2 1']);
  });

  test('participants with the same protocol are one', () => {
    expect(names(['sub-1_task-rest_bold.json', 'sub-2_task-rest_bold.json'])).toEqual([
      'func-rest 2',
    ]);
  });

  test('a single-band reference alone is skipped with the reason', () => {
    const { scans, skipped } = importJson({ 'sub-1_task-rest_sbref.json': BOLD });
    expect(scans).toEqual([]);
    expect(skipped[0]!.why).toMatch(/reference without the scan/);
  });
});

describe('order', () => {
  test('follows series numbers where every scan has one', () => {
    const { scans, notes } = importJson({
      'sub-1_T1w.json': { SeriesNumber: 9, SequenceName: '*tfl3d1', MRAcquisitionType: '3D' },
      'sub-1_task-rest_bold.json': { ...BOLD, SeriesNumber: 4 },
    });
    expect(scans.map(({ name }) => name)).toEqual(['func-rest', 't1']);
    expect(notes.join()).toMatch(/series numbers/);
  });

  test('is a usual one otherwise, and says so', () => {
    const { scans, notes } = importJson({
      'sub-1_task-rest_bold.json': { ...BOLD, SeriesNumber: 4 },
      'sub-1_T1w.json': { SequenceName: '*tfl3d1', MRAcquisitionType: '3D' },
    });
    expect(scans.map(({ name }) => name)).toEqual(['t1', 'func-rest']);
    expect(notes.join()).toMatch(/put them in the right order/);
  });
});

describe('the image header and b-values', () => {
  const image = { size: [100, 90, 60], voxelMm: [2.2, 2.2, 2.5], volumes: 400 } as const;

  test('give volumes, slices and the acquired voxel', () => {
    const json = {
      ...BOLD,
      PhaseEncodingDirection: 'j-',
      AcquisitionMatrixPE: 90,
      BaseResolution: 110,
    };
    const { fields } = importSidecars([{ path: 'sub-1_task-a_bold.json', json, image }]).scans[0]!;
    expect(fields.NumberOfVolumes!.value).toBe(400);
    expect(fields.NumberOfSlices!.value).toBe(60);
    // 100 x 2.2 mm / 110 samples along the readout, 90 x 2.2 mm / 90 lines.
    expect(fields.AcquisitionVoxelSize!.value).toEqual([2, 2.2, 2.5]);
  });

  test('show a multiband scan whose sidecar says nothing of it', () => {
    // 60 slices x 30 ms = 1.8 s do not fit into 0.9 s, 30 pairs do.
    const { fields } = importSidecars([{ path: 'sub-1_task-a_bold.json', json: BOLD, image }])
      .scans[0]!;
    expect(fields.MultibandAccelerationFactor).toMatchObject({ value: 2, origin: 'assumed' });
    expect(fields.NumberOfSlices!.value).toBe(60);
  });

  test('b-values count volumes', () => {
    const { fields } = importSidecars([
      { path: 'sub-1_dwi.json', json: BOLD, bValues: [0, 1000, 1000, 1000] },
    ]).scans[0]!;
    expect(fields.NumberOfVolumes!.value).toBe(4);
    expect(fields.DiffusionBValues!.value).toEqual([0, 1000]);
  });
});

describe('values that cannot be', () => {
  test('are left out with a note, and the rest stays', () => {
    const json = { ...BOLD, RepetitionTime: 900, EchoTime: 30, SliceThickness: 2.4 };
    const { fields, notes } = importJson({ 'sub-1_task-a_bold.json': json }).scans[0]!;
    expect(Object.keys(fields)).toEqual(['SliceThickness']);
    expect(notes).toHaveLength(2);
    expect(notes[0]).toMatch(
      /^Left out: RepetitionTime is 900 s; allowed is a number from 0\.0005 to 60 s/,
    );
  });

  test('that contradict others go, the least certain first', () => {
    const json = { ...BOLD, MultibandAccelerationFactor: 4 };
    const image = { size: [100, 100, 61], voxelMm: [2, 2, 2], volumes: 3 } as const;
    const [scan] = importSidecars([{ path: 'sub-1_task-a_bold.json', json, image }]).scans;
    expect(scan!.fields.NumberOfSlices).toBeUndefined();
    expect(scan!.fields.MultibandAccelerationFactor!.value).toBe(4);
    expect(scan!.notes.join()).toMatch(/Left out: NumberOfSlices/);
  });
});

describe('junk', () => {
  const key = fc.constantFrom(
    ...[
      'RepetitionTime',
      'EchoTime',
      'EffectiveEchoSpacing',
      'SliceTiming',
      'Manufacturer',
      'ImageType',
    ],
    ...[
      'ScanningSequence',
      'SequenceName',
      'MRAcquisitionType',
      'AcquisitionMatrixPE',
      'ReconMatrixPE',
    ],
    ...[
      'EchoTrainLength',
      'PixelBandwidth',
      'MultibandAccelerationFactor',
      'PhaseEncodingDirection',
    ],
    ...[
      'ParallelReductionFactorInPlane',
      'BidsGuess',
      'ScanOptions',
      'MagneticFieldStrength',
      '__proto__',
    ],
    ...[
      'EchoTime1',
      'EchoTime2',
      'PhaseOversampling',
      'WaterFatShift',
      'ImageOrientationPatientDICOM',
    ],
  );
  const value = fc.oneof(
    fc.double(),
    fc.integer(),
    fc.string({ maxLength: 8 }),
    fc.constantFrom(
      'GE',
      'Siemens',
      'Philips',
      'UIH',
      'EP',
      'SE\\IR',
      '2D',
      '3D',
      'j-',
      'PFF',
      null,
      true,
    ),
    fc.array(fc.oneof(fc.double(), fc.string({ maxLength: 4 })), { maxLength: 7 }),
    fc.dictionary(fc.string({ maxLength: 3 }), fc.double(), { maxKeys: 2 }),
  );
  const path = fc.constantFrom(
    ...[
      'sub-1_task-a_bold.json',
      'sub-1_T1w.json',
      'sub-1_dwi.json',
      'sub-1_dir-AP_epi.json',
      'x.json',
    ],
    ...['sub-1_phasediff.json', 'sub-1_T2w.json', '3_localizer.json', '__proto__-a_bold.json'],
  );
  const sidecar = fc.record({
    path,
    json: fc.oneof(
      { weight: 9, arbitrary: fc.dictionary(key, value, { maxKeys: 15 }) },
      { weight: 1, arbitrary: value },
    ),
  });

  test('never throws, accounts for every file, and what it gives can be written and read', () => {
    let scans = 0;
    fc.assert(
      fc.property(fc.uniqueArray(sidecar, { maxLength: 4, selector: file => file.path }), files => {
        const result = importSidecars(files);
        const mentioned = [
          ...result.scans.flatMap(scan => scan.files),
          ...result.skipped.map(({ file }) => file),
        ];
        expect(mentioned.sort()).toEqual(files.map(file => file.path).sort());
        scans += result.scans.length;
        if (result.scans.length > 0) throughFile(files);
      }),
      { numRuns: 400, seed: 5 },
    );
    expect(scans).toBeGreaterThan(300);
  });
});
