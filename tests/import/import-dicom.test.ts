/** DICOM series as scans: what belongs together, what is counted, what each maker means. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { readDicomHeader } from '../../src/formats/dicom/read-header.js';
import { DicomCollection } from '../../src/import/dicom-series.js';
import type { FieldName } from '../../src/protocol/fields.js';
import { filesOfDicom, whyNoScan } from '../../src/import/import-dicom.js';
import { importSidecars, type ImportResult } from '../../src/import/import-sidecars.js';
import { echoPlanarSlice, element, type Elements, writeDicom } from '../helpers/dicom-writer.js';

const VECTORS = path.join(import.meta.dirname, '../vectors/pydicom');

function headerOf(bytes: Uint8Array) {
  const read = readDicomHeader(bytes, true);
  if (read.kind !== 'header') throw new Error(read.kind);
  return read.header;
}

function importFiles(files: readonly Uint8Array[]): ImportResult {
  const collection = new DicomCollection();
  for (const file of files) collection.add(headerOf(file));
  const { series } = collection;
  return importSidecars(
    filesOfDicom(series.map((one, i) => ({ series: one, shown: `series at place ${i + 1}` }))),
  );
}

const importElements = (...files: readonly Elements[]): ImportResult =>
  importFiles(files.map(elements => writeDicom(elements, 'explicit')));

/** Values of some fields of the only scan. */
function fieldsOf(result: ImportResult, ...names: readonly FieldName[]): unknown[] {
  expect(result.scans).toHaveLength(1);
  return names.map(name => result.scans[0]!.fields[name]?.value);
}

const ELEMENTS: Record<string, string> = {};

/** Slices of an echo-planar series at positions 0, 3, 6 ... mm, several volumes. */
function seriesOf(
  slices: number,
  volumes: number,
  more: (slice: number, volume: number) => Parameters<typeof echoPlanarSlice>[0] = () => ELEMENTS,
  series = '1',
): Elements[] {
  return Array.from({ length: slices * volumes }, (_, i) => {
    const [slice, volume] = [i % slices, Math.floor(i / slices)];
    const position = `-96\\-96\\${3 * slice}`;
    return echoPlanarSlice({ '0020,0032': position, ...more(slice, volume) }, series, `${i + 1}`);
  });
}

describe('files of an independent writer', () => {
  test.each(['explicit', 'implicit', 'big-endian', 'deflated'])('%s: the same scans', syntax => {
    const classic = importFiles([readFileSync(path.join(VECTORS, `classic-${syntax}.dcm`))]);
    expect(classic.scanner.name).toBe('GE Invented 3T');
    expect(
      fieldsOf(
        classic,
        ...(['RepetitionTime', 'EchoTime', 'EchoSpacing', 'NumberOfSlices'] as const),
        ...(['NumberOfVolumes', 'MultibandAccelerationFactor'] as const),
        ...(['ParallelReductionFactorInPlane', 'AcquisitionVoxelSize'] as const),
      ),
    ).toEqual([1.5, 0.0315, 0.000516, 45, 120, 3, 2, [3, 3, 3]]);

    const enhanced = importFiles([readFileSync(path.join(VECTORS, `enhanced-${syntax}.dcm`))]);
    expect(enhanced.scans[0]!.type).toBe('echo-planar');
    expect(
      fieldsOf(
        enhanced,
        ...(['RepetitionTime', 'EchoTime', 'EchoTrainLength', 'NumberOfSlices'] as const),
        ...(['NumberOfVolumes', 'MultibandAccelerationFactor', 'SliceThickness'] as const),
      ),
    ).toEqual([0.8, 0.04, 64, 4, 2, 2, 3.5]);
  });

  test('nothing that could tell who, where or when comes out', () => {
    const files = ['classic', 'enhanced'].map(kind =>
      readFileSync(path.join(VECTORS, `${kind}-explicit.dcm`)),
    );
    expect(files[0]!.toString('latin1')).toContain('Secret^Person');
    const text = JSON.stringify(importFiles(files));
    expect(text).toContain('EchoSpacing');
    expect(text).not.toMatch(/secret|person|20270102|20190203|1011|2\.25/i);
  });
});

describe('which series are one scan', () => {
  const names = (result: ImportResult): string[] => result.scans.map(({ name }) => name);
  const named = (name: string, series: string, more = {}): Elements =>
    echoPlanarSlice({ '0008,103e': name, ...more }, series);

  test('repeats of one name are, different names are not; no name comes out', () => {
    const result = importElements(
      named('rest_run-1', '5'),
      named('Rest_run-2', '6'),
      named('film of Person', '7'),
      named('rest', '9'),
    );
    expect(names(result)).toEqual(['func', 'func-2']);
    expect(result.scans.map(({ files }) => files.length)).toEqual([3, 1]);
    expect(JSON.stringify(result)).not.toMatch(/film|Person/);
  });

  test('series without any name are not', () => {
    const result = importElements(named('', '5'), named('', '6'));
    expect(names(result)).toEqual(['func', 'func-2']);
  });

  test('one name with other timing is another scan', () => {
    const result = importElements(named('rest', '5'), named('rest', '6', { '0018,0080': '900' }));
    expect(names(result)).toEqual(['func', 'func-2']);
  });

  test('a single-band reference and a phase image belong to their scan', () => {
    const result = importElements(
      named('rest_SBRef', '4'),
      named('rest', '5'),
      named('rest_Pha', '6', { '0008,0008': 'ORIGINAL\\PRIMARY\\P' }),
    );
    expect(names(result)).toEqual(['func']);
    expect(result.scans[0]!.files).toHaveLength(3);
    const alone = importElements(named('rest_SBRef', '4'));
    expect(alone.scans).toEqual([]);
    expect(alone.skipped).toEqual([
      {
        file: 'series at place 1',
        why: 'a single-band reference without the scan that it belongs to',
      },
    ]);
  });

  test('magnitude and phase in one series, and its echoes, are counted apart', () => {
    const files = ['M', 'P'].flatMap(component =>
      ['12', '28', '44'].flatMap((echo, i) =>
        [0, 3, 6].map((position, j) =>
          echoPlanarSlice(
            {
              '0008,0008': `ORIGINAL\\PRIMARY\\${component}`,
              '0018,0081': echo,
              '0020,0032': `-96\\-96\\${position}`,
            },
            '1',
            `${component === 'M' ? 1 : 2}${i}${j}`,
          ),
        ),
      ),
    );
    const result = importElements(...files);
    expect(fieldsOf(result, 'EchoTime', 'NumberOfSlices')).toEqual([0.012, 3]);
    expect(result.scans[0]!.notes).toContain('It has 3 echo times; the first is sounded.');
  });

  test('the two series of a field map are one, with both echo times', () => {
    const map = { '0018,0020': 'GR', '0018,0024 SH': '*fm2d2r', '0018,0080': '600' };
    const result = importElements(
      named('field_mapping', '5', { ...map, '0018,0081': '4.92' }),
      echoPlanarSlice({ '0008,103e': 'field_mapping', ...map, '0018,0081': '7.38' }, '5', '2'),
      named('field_mapping', '6', {
        ...map,
        '0018,0081': '7.38',
        '0008,0008': 'ORIGINAL\\PRIMARY\\P',
      }),
    );
    expect(names(result)).toEqual(['fieldmap-gre']);
    expect(fieldsOf(result, 'EchoTime1', 'EchoTime2')).toEqual([0.00492, 0.00738]);
  });

  test('copies of a file count once', () => {
    const [one, two] = seriesOf(2, 1);
    const result = importElements(one!, two!, one!, two!);
    expect(fieldsOf(result, 'NumberOfSlices', 'NumberOfVolumes')).toEqual([2, undefined]);
  });
});

describe('the order', () => {
  test('is that of series numbers, whatever the order of the files', () => {
    const result = importElements(
      echoPlanarSlice({ '0018,0080': '3000' }, '12'),
      echoPlanarSlice({ '0018,0080': '1000' }, '3'),
    );
    expect(result.scans.map(({ fields }) => fields.RepetitionTime!.value)).toEqual([1, 3]);
  });

  test('is that of times where a series has no number', () => {
    const result = importElements(
      echoPlanarSlice({ '0018,0080': '3000', '0020,0011': '', '0008,0032': '120000' }, '1'),
      echoPlanarSlice({ '0018,0080': '1000', '0020,0011': '', '0008,0032': '110000' }, '2'),
    );
    expect(result.scans.map(({ fields }) => fields.RepetitionTime!.value)).toEqual([1, 3]);
  });
});

describe('slices and volumes', () => {
  test('are counted where all files are there', () => {
    const result = importElements(...seriesOf(5, 4));
    expect(fieldsOf(result, 'NumberOfSlices', 'NumberOfVolumes')).toEqual([5, 4]);
    expect(result.scans[0]!.fields.NumberOfSlices!.why).toBe('slice positions in the files');
  });

  test('are not guessed from a single file', () => {
    const result = importElements(echoPlanarSlice());
    expect(fieldsOf(result, 'NumberOfSlices', 'NumberOfVolumes')).toEqual([undefined, undefined]);
  });

  test('are what the header states when fewer files are there', () => {
    const stated = { '0020,0105 IS': '150', '2001,0010 LO': 'Philips Imaging DD 001' };
    const [one] = seriesOf(5, 4, () => ({
      ...stated,
      '0008,0070': 'Philips',
      '2001,1018 SL': [33],
    }));
    const result = importElements(one!);
    expect(fieldsOf(result, 'NumberOfSlices', 'NumberOfVolumes')).toEqual([33, 150]);
  });

  test('a volume that was not finished does not take part in counting', () => {
    const files = seriesOf(5, 4).slice(0, 18);
    const result = importElements(...files);
    expect(fieldsOf(result, 'NumberOfSlices', 'NumberOfVolumes')).toEqual([5, 4]);
  });
});

describe('times of slices give the multiband factor', () => {
  const MANY = [0, 500, 1000, 0, 500, 1000];

  test('Siemens: from a mosaic', () => {
    const result = importElements(
      echoPlanarSlice({
        '0008,0008': 'ORIGINAL\\PRIMARY\\M\\ND\\MOSAIC',
        '0008,0070': 'SIEMENS',
        '0019,0010 LO': 'SIEMENS MR HEADER',
        '0019,100a US': [6],
        '0019,1029 FD': MANY,
        '0028,0010': [192],
        '0028,0011': [192],
      }),
    );
    expect(
      fieldsOf(result, 'NumberOfSlices', 'MultibandAccelerationFactor', 'AcquisitionVoxelSize'),
    ).toEqual([6, 2, [3, 3, 3]]);
  });

  test('Siemens: from the acquisition time of every slice, over midnight', () => {
    const times = ['235959.2', '235959.7', '000000.2', '235959.2', '235959.7', '000000.2'];
    const result = importElements(
      ...seriesOf(6, 2, (slice, volume) => ({
        '0008,0070': 'SIEMENS',
        '0008,0032': volume === 0 ? times[slice]! : '000002',
      })),
    );
    expect(fieldsOf(result, 'NumberOfSlices', 'MultibandAccelerationFactor')).toEqual([6, 2]);
  });

  test('GE: from the time since the trigger', () => {
    const result = importElements(
      ...seriesOf(6, 1, slice => ({
        '0008,0070': 'GE MEDICAL SYSTEMS',
        '0018,1060 DS': `${MANY[slice]!}`,
      })),
    );
    expect(fieldsOf(result, 'MultibandAccelerationFactor')).toEqual([2]);
  });

  test('others: their acquisition times are of volumes, and are not taken', () => {
    const result = importElements(
      ...seriesOf(6, 1, slice => ({ '0008,0070': 'Philips', '0008,0032': `10000${slice % 3}` })),
    );
    expect(fieldsOf(result, 'MultibandAccelerationFactor')).toEqual([undefined]);
  });
});

describe('b-values', () => {
  const B = [0, 1000, 1000, 2000];
  const WITH: Readonly<Record<string, (b: number) => Parameters<typeof echoPlanarSlice>[0]>> = {
    'the public element': b => ({ '0018,9087 FD': [b] }),
    Siemens: b => ({ '0019,0010 LO': 'SIEMENS MR HEADER', '0019,100c IS': `${b}` }),
    GE: b => ({
      '0008,0070': 'GE MEDICAL SYSTEMS',
      '0043,0010 LO': 'GEMS_PARM_01',
      '0043,1039 IS': `${b > 0 ? 1e9 + b : 0}\\8\\0\\0`,
    }),
    Philips: b => ({ '2001,0010 LO': 'Philips Imaging DD 001', '2001,1003 FL': [b] }),
    UIH: b => ({ '0065,0010 LO': 'Image Private Header', '0065,1009 FD': [b] }),
    'an element only where there is weighting': (b): Record<string, number[]> =>
      b > 0 ? { '0018,9087 FD': [b] } : {},
  };

  test.each(Object.entries(WITH))('from %s', (_, elements) => {
    const result = importElements(...seriesOf(3, 4, (__, volume) => elements(B[volume]!)));
    expect(result.scans[0]!.type).toBe('diffusion-echo-planar');
    expect(fieldsOf(result, 'DiffusionBValues', 'NumberOfDirections', 'NumberOfVolumes')).toEqual([
      [0, 1000, 2000],
      2,
      4,
    ]);
  });

  test('numbers that mean "not set" are none', () => {
    const result = importElements(...seriesOf(3, 1, () => ({ '0018,9087 FD': [7.23e75] })));
    expect(result.scans[0]!.type).toBe('echo-planar');
  });

  test('are those of the protocol text where files are missing', () => {
    const text = `### ASCCONV BEGIN ###
sDiffusion.lDiffWeightings = 3
sDiffusion.alBValue[1] = 1000
sDiffusion.alBValue[2] = 2000
sDiffusion.lDiffDirections = 30
### ASCCONV END ###`;
    const result = importElements(
      echoPlanarSlice({
        '0008,0070': 'SIEMENS',
        '0029,0010 LO': 'SIEMENS CSA HEADER',
        '0029,1020 OB': Buffer.from(text),
      }),
    );
    expect(fieldsOf(result, 'DiffusionBValues', 'NumberOfDirections', 'NumberOfVolumes')).toEqual([
      [0, 1000, 2000],
      30,
      61,
    ]);
  });
});

describe('what makers mean', () => {
  const siemens = (settings: string, more = {}): Elements =>
    echoPlanarSlice({
      '0008,0070': 'Siemens Healthineers',
      '0021,0010 LO': 'SIEMENS MR SDS 01',
      '0021,1019 OB': Buffer.from(`### ASCCONV BEGIN ###\n${settings}\n### ASCCONV END ###`),
      ...more,
    });

  test('Siemens: echo spacing as set, with what the header says of it', () => {
    const result = importElements(siemens('sFastImaging.lEchoSpacing = 590'));
    expect(result.scans[0]!.fields.EchoSpacing).toEqual({
      value: 0.00059,
      origin: 'given',
      why: 'VendorReportedEchoSpacing of the DICOM header, protocol text, sFastImaging.lEchoSpacing',
    });
  });

  test('Siemens: echo spacing from bandwidth, acceleration and oversampling', () => {
    // 1 / (20 Hz x 64 lines) x 2 / (1 + 0.5), by hand.
    const result = importElements(
      siemens(
        'sPat.lAccelFactPE = 2\nsPat.ucPATMode = 2\nsKSpace.dPhaseOversamplingForDialog = 0.5',
        {
          '0021,0011 LO': 'SIEMENS MR SDI 02',
          '0021,1153 FD': [20],
        },
      ),
    );
    expect(fieldsOf(result, 'EchoSpacing')).toEqual([0.00104167]);
  });

  test.each([
    ['sKSpace.ucPhasePartialFourier = 0x8', 'PartialFourier', 0.875],
    ['sKSpace.ucPhasePartialFourier = 16', 'PartialFourier', 1],
    ['sPat.lAccelFactPE = 3\nsPat.ucPATMode = 2', 'ParallelReductionFactorInPlane', 3],
    ['sPat.lAccelFactPE = 3\nsPat.ucPATMode = 1', 'ParallelReductionFactorInPlane', 1],
    ['sSliceAcceleration.lMultiBandFactor = 4', 'MultibandAccelerationFactor', 4],
    ['sSliceArray.lSize = 42', 'NumberOfSlices', 42],
    ['sSliceArray.lSize = 42\nlRepetitions = 299', 'NumberOfVolumes', 300],
    ['lTotalScanTimeSec = 310', 'Duration', 310],
  ] as const)('Siemens: %s', (setting, field, expected) => {
    expect(fieldsOf(importElements(siemens(setting)), field)).toEqual([expected]);
  });

  test('Siemens: the factor that a sequence writes into the comment', () => {
    const result = importElements(
      siemens('sSliceAcceleration.lMultiBandFactor = 1', {
        '0020,4000 LT': 'Unaliased MB3/PE3/LB of Person',
      }),
    );
    expect(fieldsOf(result, 'MultibandAccelerationFactor')).toEqual([3]);
  });

  test('GE: the spacing of several shots together', () => {
    const result = importElements(
      echoPlanarSlice({
        '0008,0070': 'GE MEDICAL SYSTEMS',
        '0043,0010 LO': 'GEMS_PARM_01',
        '0043,1006 SS': [2],
        '0043,102c SS': [300],
      }),
    );
    expect(fieldsOf(result, 'EchoSpacing')).toEqual([0.0006]);
  });

  test('Philips: the EPI factor, not the echoes of all echo times', () => {
    const result = importElements(
      echoPlanarSlice({
        '0008,0070': 'Philips Medical Systems',
        '0018,0091 IS': '105',
        '2001,0010 LO': 'Philips Imaging DD 001',
        '2001,1013 SL': [35],
        '2001,1022 FL': [9],
      }),
    );
    // Water and fat are 3.4 ppm apart: 9 / (3.4 x 3 T x 42.577 MHz/T x 36).
    expect(fieldsOf(result, 'EchoTrainLength', 'EchoSpacing')).toEqual([35, 0.000575658]);
  });

  test('Philips: an inversion among the pulses before', () => {
    const result = importElements(
      echoPlanarSlice({
        '0008,0070': 'Philips',
        '0018,0020': 'GR',
        '0018,0023': '3D',
        '0018,0080': '7.5',
        '0018,0081': '3.5',
        '2001,0010 LO': 'Philips Imaging DD 001',
        '2001,101b FL': [1100],
        '2001,101c CS': 'INV',
        '2001,1020 LO': 'T1TFE',
      }),
    );
    expect(result.scans[0]!.type).toBe('inversion-gradient-echo-3d');
    expect(fieldsOf(result, 'InversionTime', 'RepetitionTimeExcitation')).toEqual([1.1, 0.0075]);
  });

  test('UIH: frequency in Hz, and a readout where others have a duration', () => {
    const result = importElements(
      echoPlanarSlice({
        '0008,0070': 'UIH',
        '0018,0084 DS': '128176060',
        '0018,0087': '',
        '0018,9073 FD': [21],
        '0065,0010 LO': 'Image Private Header',
        '0065,100d SH': 'F:2S',
      }),
    );
    expect(result.scanner.MagneticFieldStrength.value).toBe(3);
    // 21 ms / (64 - 1) x 2, by hand.
    expect(fieldsOf(result, 'EchoSpacing', 'Duration')).toEqual([0.000666667, undefined]);
  });

  test('one echo in the train is what scanners write that do not count them', () => {
    const result = importElements(echoPlanarSlice({ '0018,0091 IS': '1' }));
    expect(fieldsOf(result, 'EchoTrainLength')).toEqual([undefined]);
  });

  test('enhanced files: spin echo, inversion and labelling in words of their own', () => {
    const spin = importElements(
      echoPlanarSlice({ '0018,9008 CS': 'SPIN', '0018,9018 CS': 'YES', '0018,0020': '' }),
    );
    const gradient = importElements(
      echoPlanarSlice({ '0018,9008 CS': 'GRADIENT', '0018,9018 CS': 'YES', '0018,0020': '' }),
    );
    expect(spin.scans[0]!.type).not.toBe(gradient.scans[0]!.type);
    const asl = importElements(
      echoPlanarSlice()
        .concat(element('0018,9251', 'SQ', [[element('0018,9250', 'CS', 'PSEUDOCONTINUOUS')]]))
        .sort((a, b) => (a.tag < b.tag ? -1 : 1)),
    );
    expect(asl.scans[0]!.type).toBe('arterial-spin-labelling');
    expect(fieldsOf(asl, 'ArterialSpinLabelingType')).toEqual(['PCASL']);
  });

  test('spectroscopy by its class', () => {
    const result = importElements(
      echoPlanarSlice({ '0008,0016': '1.2.840.10008.5.1.4.1.1.4.2', '0018,0020': 'SE' }),
    );
    expect(result.scans.map(({ type }) => type)).toEqual(['spectroscopy']);
  });
});

describe('what is no scan', () => {
  const why = (more: Parameters<typeof echoPlanarSlice>[0]): string | undefined =>
    whyNoScan(headerOf(writeDicom(echoPlanarSlice(more), 'explicit')));

  test.each([
    [{ '0008,0060': 'CT' }, 'a DICOM file of another kind than MR: Modality (0008,0060) is CT'],
    [
      { '0008,0060': 'Secret Person' },
      'a DICOM file of another kind than MR: Modality (0008,0060) is other',
    ],
    [
      { '0008,0060': '' },
      'a DICOM file that does not say it is MR: Modality (0008,0060) is missing',
    ],
    [
      { '0008,0016': '1.2.840.10008.5.1.4.1.1.7' },
      'a screenshot or picture, not an image of a scan',
    ],
    [
      { '0008,0016': '1.3.12.2.1107.5.9.1' },
      'data of the scanner or of a workstation, not an image of a scan: see SOPClassUID (0008,0016)',
    ],
    [
      { '0008,0016': '1.2.840.10008.1.3.10' },
      'the directory of a DICOM medium: give the folder with the images',
    ],
  ])('%j', (more, expected) => {
    expect(why(more)).toBe(expected);
  });

  test('a header that is cut off before it says what it is', () => {
    const bytes = writeDicom(echoPlanarSlice(), 'explicit').subarray(0, 250);
    expect(whyNoScan(headerOf(bytes))).toBe(
      'a DICOM file whose header is cut off or damaged before Modality (0008,0060): copy it again',
    );
  });

  test('MR images of every class are scans', () => {
    for (const last of ['', '.1', '.2', '.3', '.4']) {
      expect(why({ '0008,0016': `1.2.840.10008.5.1.4.1.1.4${last}` })).toBeUndefined();
    }
  });
});
