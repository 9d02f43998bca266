/**
 * Open DICOM files of every maker. Sidecars of the same scans, made by an independent converter, say what
 * must come out; the names of people and places in the files were overwritten with a dummy.
 */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { gunzipSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { readDicomHeader } from '../../src/formats/dicom/read-header.js';
import { importPaths } from '../../src/io/import-paths.js';
import type { FieldName } from '../../src/protocol/fields.js';
import { softknock } from '../helpers/cli.js';
import { describeWithOpenData, DICOM_FOLDER, SIDECAR_FOLDER } from '../helpers/open-data.js';

/** What each file is, by its sequence name and the table of its origin; undefined where it is no scan. */
const TYPES: Readonly<Record<string, string | undefined>> = {
  'dcm_qa__NOPF_P2_NOPOS_PERES100_ES0P59_BW2222_AP_0010.dcm': 'field-map-echo-planar',
  'dcm_qa_canon__9000_DTI_PA-ortho_0021.dcm': 'diffusion-echo-planar',
  'dcm_qa_enh__XA10_6_2.dcm': 'echo-planar',
  'dcm_qa_fmap__2_3db0maps_i100221.MRDC.43.dcm': 'field-map-gradient-echo',
  'dcm_qa_ge__2_Ax_fMRI_HB8_72sl_int_asc_0015.dcm': 'echo-planar',
  'dcm_qa_philips__fmri_201_EPI_asc_CLEAR_0001_01.dcm': 'echo-planar',
  'dcm_qa_philips_enh__cl_2101_4673.dcm': 'echo-planar',
  'dcm_qa_uih__dti_tra_dir16_AP_SaveBySlc__140028_00000001.dcm': 'diffusion-echo-planar',
  'dcm_qa_xa30i__5001_anat-T1w_acq-tfl_5001002_dcm.dcm': 'inversion-gradient-echo-3d',
  'dcm_qa_xa30i__7001_func-bold_task-fa_run-1_7001010_dcm.dcm': 'echo-planar',
  'dcmstack__csa_test.dcm': 'diffusion-echo-planar',
  'nibabel__philips_mprage.dcm.gz': 'inversion-gradient-echo-3d',
  'pydicom-data__emri_small.dcm': 'inversion-gradient-echo-3d',
  'pydicom__MR_small.dcm': undefined,
};

/** DICOM file and sidecar of one scan, or of one protocol at one scanner. */
const PAIRS: readonly (readonly [dicom: string, sidecar: string])[] = [
  [
    'dcm_qa__NOPF_P2_NOPOS_PERES100_ES0P59_BW2222_AP_0010.dcm',
    'dcm_qa__noPF_p2_noPOS_PEres100_ES0p59_BW2222_AP_10.json',
  ],
  ['dcm_qa_ge__2_Ax_fMRI_HB8_72sl_int_asc_0015.dcm', 'dcm_qa_ge__Ax_fMRI_HB8_72sl_int_asc_2.json'],
  ['dcm_qa_philips__fmri_201_EPI_asc_CLEAR_0001_01.dcm', 'dcm_qa_philips__EPI_asc_CLEAR_201.json'],
  ['dcm_qa_philips_enh__cl_2101_4673.dcm', 'dcm_qa_philips_enh__2101_WIP_fcMRI_enh.json'],
  [
    'dcm_qa_xa30i__7001_func-bold_task-fa_run-1_7001010_dcm.dcm',
    'dcm_qa_xa30__7_func-bold_task-fa_run-1.json',
  ],
  [
    'dcm_qa_uih__dti_tra_dir16_AP_SaveBySlc__140028_00000001.dcm',
    'dcm_qa_uih__dti_tra_dir16_AP_9_134431.json',
  ],
  ['dcm_qa_canon__9000_DTI_PA-ortho_0021.dcm', 'dcm_qa_canon__DTI_PA-ortho_9000.json'],
];

/** Numbers that both must give; in one file the spacing is as set, in its sidecar as measured from the bandwidth. */
const COMPARED: readonly FieldName[] = [
  ...(['EchoSpacing', 'RepetitionTime', 'EchoTime', 'MultibandAccelerationFactor'] as const),
  ...(['NumberOfSlices', 'EchoTrainLength', 'AcquisitionMatrixPE', 'SliceThickness'] as const),
  ...(['PartialFourier', 'PixelBandwidth', 'BaseResolution'] as const),
];

/** Sidecars round to six digits, headers some values to integers: 2317 Hz for 2317.23 Hz. */
const TOLERANCE = 2e-4;

const inFolder = (file: string): string => path.join(DICOM_FOLDER, file);

describeWithOpenData('open DICOM files', () => {
  test('are there', () => {
    expect(readdirSync(DICOM_FOLDER).sort()).toEqual(Object.keys(TYPES).sort());
    expect(Object.keys(TYPES)).toHaveLength(14);
  });

  test.each(Object.entries(TYPES))('%s: a scan (%s) or a reason', async (file, type) => {
    const { scans, skipped, notes } = await importPaths([inFolder(file)]);
    expect(scans.map(scan => scan.type)).toEqual(type === undefined ? [] : [type]);
    expect(skipped.map(({ why }) => why)).toEqual(
      type === undefined
        ? ['a map computed from other scans, which makes no sound of its own']
        : [],
    );
    expect(notes).toEqual([]);
  });

  test.each(PAIRS)('%s agrees with %s', async (dicom, sidecar) => {
    const [fromDicom, fromSidecar] = await Promise.all([
      importPaths([inFolder(dicom)]),
      importPaths([path.join(SIDECAR_FOLDER, sidecar)]),
    ]);
    expect(fromDicom.scanner).toMatchObject({
      name: fromSidecar.scanner.name,
      MagneticFieldStrength: { value: fromSidecar.scanner.MagneticFieldStrength.value },
    });
    const [one, other] = [fromDicom.scans[0]!, fromSidecar.scans[0]!];
    expect(one.type).toBe(other.type);
    let compared = 0;
    for (const name of COMPARED) {
      const expected = other.fields[name]?.value;
      if (expected === undefined) continue;
      compared++;
      const value = one.fields[name]?.value;
      expect(Math.abs(Number(value) / Number(expected) - 1), name).toBeLessThanOrEqual(TOLERANCE);
    }
    expect(compared).toBeGreaterThanOrEqual(7);
    for (const name of ['EchoSpacing', 'RepetitionTime', 'EchoTime'] as const) {
      expect(other.fields[name]).toBeDefined();
    }
  });

  // Facts of the table of origins, and of the headers as other readers show them.
  test.each([
    [
      'dcm_qa_enh__XA10_6_2.dcm',
      {
        MultibandAccelerationFactor: 2,
        NumberOfSlices: 6,
        RepetitionTime: 0.5,
        NumberOfVolumes: 450,
      },
    ],
    [
      'dcmstack__csa_test.dcm',
      {
        EchoSpacing: 0.00083,
        NumberOfSlices: 36,
        DiffusionBValues: [0, 2000],
        NumberOfDirections: 12,
      },
    ],
    [
      'nibabel__philips_mprage.dcm.gz',
      {
        RepetitionTimeExcitation: 0.0075693,
        EchoTime: 0.003513,
        InversionTime: 1.1,
        NumberOfSlices: 176,
      },
    ],
    [
      'dcm_qa_xa30i__5001_anat-T1w_acq-tfl_5001002_dcm.dcm',
      {
        RepetitionTime: 1.8,
        InversionTime: 0.9,
        EchoTime: 0.00241,
        Duration: 173,
        NumberOfSlices: 96,
      },
    ],
    [
      'dcm_qa_fmap__2_3db0maps_i100221.MRDC.43.dcm',
      { RepetitionTime: 0.8, EchoTime1: 0.00494, NumberOfSlices: 80 },
    ],
    ['pydicom-data__emri_small.dcm', { PixelBandwidth: 241, Duration: 652.707 }],
  ] as const)('%s: %j', async (file, expected) => {
    const { scans } = await importPaths([inFolder(file)]);
    const fields = Object.entries(scans[0]!.fields).map(([name, { value }]) => [name, value]);
    expect(Object.fromEntries(fields)).toMatchObject(expected);
  });

  test('all in one folder: as each by itself, in the order of their numbers', async () => {
    const { scans, skipped } = await importPaths([DICOM_FOLDER]);
    expect(scans).toHaveLength(13);
    expect(new Set(scans.map(({ name }) => name)).size).toBe(13);
    expect(skipped).toHaveLength(1);
  });

  test('dummies of people and places, serial numbers and dates do not come out', async () => {
    const { status, out, err } = await softknock('import', DICOM_FOLDER, '--json');
    const study = await softknock('import', DICOM_FOLDER);
    expect([status, study.status]).toEqual([0, 0]);
    const text = [out, err, study.out, study.err].join('\n').replaceAll(DICOM_FOLDER, '<folder>');
    // The dummy, serial numbers, stations, names of series and studies, dates: each stands in a file.
    const hidden = [
      ...['ANON', 'AWP166038', 'MRC35062', 'RFSAMAY', 'MyBasicBlockDesign', 'Konvertertest'],
      ...['noPF_p2', 'fMRI HB8', 'EPI_asc', 'fcMRI', 'MPRAGE_S2', 'dti_tra', 'REST1', 'ortho'],
      ...['20170920', '20201014', '20180925', '20181022', '20230113', '20120310', '20060811'],
    ];
    const all = readdirSync(DICOM_FOLDER)
      .map(file => readFileSync(inFolder(file)))
      .map(bytes => (bytes[0] === 0x1f ? gunzipSync(bytes) : bytes).toString('latin1'))
      .join('\n');
    for (const secret of hidden) {
      expect(all, `${secret} is in the files`).toContain(secret);
      expect(text, secret).not.toContain(secret);
    }
    expect(text).toContain('EchoSpacing');
  });

  test.each(['pydicom__MR_small.dcm', 'dcm_qa_canon__9000_DTI_PA-ortho_0021.dcm'])(
    '%s cut off at every length does not throw',
    file => {
      const bytes = readFileSync(inFolder(file));
      for (let length = 0; length < 3000; length++) {
        expect(readDicomHeader(bytes.subarray(0, length), true).kind).toBe(
          length < 132 ? 'not-dicom' : 'header',
        );
      }
    },
  );
});
