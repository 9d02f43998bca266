/**
 * Families of open sidecars, as whoever collected them describes them (their series, and the list that
 * accompanies the data), and of invented ones.
 */
import { describe, expect, test } from 'vitest';
import { parseBidsName } from '../../src/import/bids-name.js';
import { recognise } from '../../src/import/recognise.js';
import { SCAN_TYPES } from '../../src/protocol/scan.js';
import { Sidecar } from '../../src/import/sidecar.js';
import { describeWithOpenData, openSidecars } from '../helpers/open-data.js';

/** Type, or words of the reason for which it is skipped, by a part of the file's name. */
const EXPECTED: Readonly<Record<string, string>> = {
  eyetracking_fmri__sub_01_ses_01_T1w: 'inversion-gradient-echo-3d',
  eyetracking_fmri__sub_01_ses_01_T2w: 'turbo-spin-echo-3d',
  dir_AP_epi: 'field-map-echo-planar',
  task_rest_run_01_bold: 'echo-planar',
  _58PF_noPAT: 'field-map-echo-planar',
  ax_asc_35sl: 'echo-planar',
  noPF_noPAT_50POS: 'field-map-echo-planar',
  INTERP_AP: 'field-map-echo-planar',
  noPF_p2_noPOS: 'field-map-echo-planar',
  T1_mprage_ns_sag: 'inversion-gradient-echo-3d',
  pcasl_2d: 'arterial-spin-labelling',
  canon__DTI: 'diffusion-echo-planar',
  GE_14_Ax_T2_FLAIR: 'turbo-spin-echo-2d',
  Ph_201_T1W_TSE: 'turbo-spin-echo-2d',
  Si_4_t2_tse: 'turbo-spin-echo-2d',
  MP_RAGE_R22: 'inversion-gradient-echo-3d',
  DWI_TENSOR: 'diffusion-echo-planar',
  fMRI_HB8: 'echo-planar',
  mp2rage_sag_p3: 'inversion-gradient-echo-3d',
  regression_test_4: 'echo-planar',
  EPI_PE_AP_3: 'echo-planar',
  EPI_asc_CLEAR: 'echo-planar',
  philips__dti_1101: 'diffusion-echo-planar',
  ADNI_Sag3D_MPRAGE: 'inversion-gradient-echo-3d',
  '3DpCASL': 'arterial-spin-labelling',
  fcMRI_Field_Mapping: 'field-map-gradient-echo',
  '2101_WIP_fcMRI_enh': 'echo-planar',
  Brain_Express: 'echo-planar',
  uih__dti_tra: 'diffusion-echo-planar',
  func_bold_task_fa: 'echo-planar',
  '8_gre_field_mapping': 'field-map-gradient-echo',
  TerraX_XA60: 'echo-planar',
  ds002790__sub_0001_T1w: 'inversion-gradient-echo-3d',
  ds002790__sub_0001_dwi: 'diffusion-echo-planar',
  phasediff: 'field-map-gradient-echo',
  restingstate: 'echo-planar',
  ds004146__sub_0001_ses_01_FLAIR: 'turbo-spin-echo-3d',
  ds004146__sub_0001_ses_01_T2w_TSE: 'turbo-spin-echo-2d',
  'ds004146__sub_0001_ses_01_T2w.json': 'turbo-spin-echo-3d',
  ds004146__sub_0001_ses_01_asl: 'arterial-spin-labelling',
  dir_AP_run_01_dwi: 'diffusion-echo-planar',
  inv_1_MP2RAGE: 'inversion-gradient-echo-3d',
  part_mag_GRE: 'gradient-echo-3d',
  task_rest_dir_AP_bold: 'echo-planar',
};

const outcome = (path: string, json: Record<string, unknown> = {}): string => {
  const result = recognise(parseBidsName(path), new Sidecar(json));
  return 'skip' in result ? result.skip : result.type;
};

describeWithOpenData('open sidecars', () => {
  const files = openSidecars();
  const expectedOf = (path: string): readonly string[] =>
    Object.entries(EXPECTED)
      .filter(([part]) => path.replaceAll('-', '_').includes(part))
      .map(([, expected]) => expected);

  test('all 44 are in the list, each once', () => {
    expect(files).toHaveLength(44);
    expect(Object.keys(EXPECTED)).toHaveLength(44);
    for (const { path } of files) expect([path, expectedOf(path).length]).toEqual([path, 1]);
  });

  test.each(files)('$path', ({ path, json }) => {
    expect(outcome(path, json)).toContain(expectedOf(path)[0]);
  });

  test.each(files.filter(({ path }) => /philips_enh|xa30|nih|ge__|uih|canon/.test(path)))(
    '$path is recognised without its name',
    ({ path, json }) => {
      expect(outcome('1.json', json)).toContain(expectedOf(path)[0]);
    },
  );
});

describe('BIDS names alone', () => {
  test.each([
    ['sub-01/func/sub-01_task-rest_bold.json', 'echo-planar'],
    ['sub-01/func/sub-01_task-rest_sbref.json', 'echo-planar'],
    ['sub-01/dwi/sub-01_dwi.json', 'diffusion-echo-planar'],
    ['sub-01/dwi/sub-01_sbref.json', 'diffusion-echo-planar'],
    ['sub-01/fmap/sub-01_dir-PA_epi.json', 'field-map-echo-planar'],
    ['sub-01/fmap/sub-01_phasediff.json', 'field-map-gradient-echo'],
    ['sub-01/fmap/sub-01_magnitude1.json', 'field-map-gradient-echo'],
    ['sub-01/anat/sub-01_T1w.json', 'inversion-gradient-echo-3d'],
    ['sub-01/anat/sub-01_T2w.json', 'do not say whether it is 2D or 3D'],
    ['sub-01/anat/sub-01_UNIT1.json', 'a map computed from other scans'],
    ['sub-01/anat/sub-01_T1map.json', 'a map computed from other scans'],
    ['sub-01/anat/sub-01_echo-1_MEGRE.json', 'do not say whether it is 2D or 3D'],
    ['sub-01/anat/sub-01_inv-1_MP2RAGE.json', 'inversion-gradient-echo-3d'],
    ['sub-01/anat/sub-01_angio.json', 'angiography other than time-of-flight'],
    ['sub-01/perf/sub-01_asl.json', 'arterial-spin-labelling'],
    ['sub-01/perf/sub-01_m0scan.json', 'the reference scan of arterial spin labelling'],
    ['sub-01/mrs/sub-01_svs.json', 'spectroscopy'],
    ['sub-01/mrs/sub-01_mrsref.json', 'spectroscopy'],
    ['sub-01/mrs/sub-01_mrsi.json', 'spectroscopy of other than a single voxel'],
    ['sub-01/fmap/sub-01_TB1TFL.json', 'mapping of the radio field'],
    ['scan.json', 'neither its name nor its values say'],
  ])('%s: %s', (path, expected) => {
    expect(outcome(path)).toContain(expected);
  });
});

/** Sidecars of our own, the name of their file, and the type or words of the reason. */
const VALUES: readonly (readonly [
  json: Record<string, unknown>,
  path: string,
  expected: string,
])[] = [
  [{ MRAcquisitionType: '3D', ScanningSequence: 'EP' }, 'sub-1_task-a_bold.json', '3D echo-planar'],
  [{ MRAcquisitionType: '2D', ScanningSequence: 'SE' }, 'sub-1_T1w.json', 'spin-echo-2d'],
  [
    { MRAcquisitionType: '2D', ScanningSequence: 'SE', EchoTrainLength: 7 },
    'sub-1_T1w.json',
    'turbo-spin-echo-2d',
  ],
  [{ MRAcquisitionType: '2D', ScanningSequence: 'SE' }, 'sub-1_T2w.json', 'turbo-spin-echo-2d'],
  [
    {
      MRAcquisitionType: '2D',
      SequenceName: '*h2d1_192',
      ScanningSequence: 'SE',
      EchoTrainLength: 96,
    },
    '3.json',
    'turbo-spin-echo-2d',
  ],
  [{ MRAcquisitionType: '2D', PulseSequenceName: 'SSFSE' }, '3.json', 'turbo-spin-echo-2d'],
  [
    { ScanningSequence: 'SE', PulseSequenceName: 'TSE' },
    '3.json',
    'do not say whether it is 2D or 3D',
  ],
  [{ ScanningSequence: 'SE\\EP' }, 'sub-1_task-a_bold.json', 'spin-echo-echo-planar'],
  [{ MRAcquisitionType: '3D', ScanningSequence: 'GR' }, 'sub-1_T1w.json', 'gradient-echo-3d'],
  [
    { MRAcquisitionType: '3D', ScanningSequence: 'GR\\IR' },
    'sub-1_T1w.json',
    'inversion-gradient-echo-3d',
  ],
  [{ MRAcquisitionType: '3D' }, 'sub-1_echo-2_MEGRE.json', 'gradient-echo-3d'],
  [{ MRAcquisitionType: '2D' }, 'sub-1_T2starw.json', 'gradient-echo-2d'],
  [{ RepetitionTime: 0.025 }, 'sub-1_flip-1_VFA.json', 'gradient-echo-3d'],
  [{ SequenceName: '_swi3d1r', MRAcquisitionType: '3D' }, '4.json', 'gradient-echo-3d'],
  [{ SequenceName: '*fl2d1', MRAcquisitionType: '2D' }, '4.json', 'gradient-echo-2d'],
  [{ SeriesDescription: 'TOF_3D', MRAcquisitionType: '3D' }, '4.json', 'gradient-echo-3d'],
  [{ SequenceName: '*tfi2d1_12' }, '4.json', 'balanced-steady-state'],
  [{ PulseSequenceName: 'B-FFE' }, '4.json', 'balanced-steady-state'],
  [{ SequenceName: '*petra3d' }, '4.json', 'zero-echo-time'],
  [{ SequenceName: 'fl2d_radial' }, '4.json', 'radial-gradient-echo'],
  [{ SequenceName: 'ute3d' }, '4.json', 'ultrashort echo time'],
  [{ SequenceName: '*fl2d1', SeriesDescription: 'localizer' }, '1.json', 'localiser'],
  [{ SeriesDescription: 'AAHScout', MRAcquisitionType: '3D' }, '1.json', 'gradient-echo-3d'],
  [{ SeriesDescription: 'Scout', MRAcquisitionType: '2D' }, '1.json', 'localiser'],
  [
    { SequenceName: 'epfid2d1_64', ImageType: ['DERIVED', 'PRIMARY', 'MOCO'] },
    '9.json',
    'a map computed',
  ],
  [
    { ScanningSequence: 'EP', ImageType: ['ORIGINAL', 'DIFFUSION', 'FA'] },
    '9.json',
    'a map computed',
  ],
  [{ SequenceName: 'svs_se' }, '9.json', 'spectroscopy'],
  [{ SequenceName: 'csi_slaser' }, '9.json', 'spectroscopy of other than a single voxel'],
  [{ PulseSequenceName: '3dasl', MRAcquisitionType: '3D' }, '9.json', 'a spiral readout'],
  [{ SequenceName: 'tgse_pasl', MRAcquisitionType: '3D' }, '9.json', 'arterial-spin-labelling'],
  [{ SequenceName: 'fid_spiral' }, '9.json', 'spiral'],
  [{ PulseSequenceName: 'GraSE' }, '9.json', 'GRASE'],
  [{ ScanningSequence: 5, SequenceName: ['x'], ImageType: { a: 1 } }, '9.json', 'neither'],
];

describe('values against names', () => {
  test.each(VALUES)('%j in %s: %s', (json, path, expected) => {
    expect(outcome(path, json)).toContain(expected);
  });

  test('a converter that guesses a BIDS name is believed where the file has none', () => {
    expect(outcome('7.json', { BidsGuess: ['func', '_task-x_bold'] })).toBe('echo-planar');
    expect(outcome('sub-1_T1w.json', { BidsGuess: ['func', '_bold'] })).toBe(
      'inversion-gradient-echo-3d',
    );
  });

  test('every type can be reached but those that leave no file', () => {
    const reached = new Set([
      ...Object.values(EXPECTED),
      ...VALUES.map(([json, path]) => outcome(path, json)),
    ]);
    const events = ['pre-scan', 'table-motion', 'pause'];
    for (const type of SCAN_TYPES) {
      expect([type, reached.has(type)]).toEqual([type, !events.includes(type)]);
    }
  });
});
