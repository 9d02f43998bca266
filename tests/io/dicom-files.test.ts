/** DICOM files from the disk: single ones, folders, mixtures; and what is said of them. */
import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { importPaths } from '../../src/io/import-paths.js';
import { readStudyFile } from '../../src/protocol/read-study-file.js';
import { softknock, temporaryFolder } from '../helpers/cli.js';
import { echoPlanarSlice, element, writeDicom } from '../helpers/dicom-writer.js';

const root = await temporaryFolder();

/** Writes files below a folder of its own. */
function folderOf(name: string, files: Readonly<Record<string, Uint8Array | string>>): string {
  const folder = path.join(root, name);
  mkdirSync(folder, { recursive: true });
  for (const [file, content] of Object.entries(files)) {
    const full = path.join(folder, file);
    mkdirSync(path.dirname(full), { recursive: true });
    writeFileSync(full, content);
  }
  return folder;
}

const slice = (
  more: Parameters<typeof echoPlanarSlice>[0] = {},
  series = '1',
  instance = '1',
): Uint8Array => writeDicom(echoPlanarSlice(more, series, instance), 'explicit');

/** A visit as scanners send it: names of people in the names of everything. */
const VISIT: Readonly<Record<string, Uint8Array>> = Object.fromEntries(
  [1, 2].flatMap(series =>
    [0, 1, 2].flatMap(position =>
      [1, 2].map(volume => [
        `DOE_JANE/STUDY_20270102/DOE_JANE.MR.${series}.${position}.${volume}.IMA`,
        slice(
          {
            '0018,0080': `${series}500`,
            '0020,0032': `0\\0\\${3 * position}`,
            '0008,0005 CS': 'ISO_IR 100',
            '0008,0020 DA': '20270102',
            '0008,0080 LO': 'Hospital of Elsewhere',
            '0010,0010': 'DOE^JANE',
            '0018,1000 LO': 'SERIAL77',
            '0018,1030 LO': 'protocol of JANE',
            '0008,103e': `rest of JANE ${series === 1 ? 'a' : 'b'}`,
          },
          `${series}`,
          `${position}${volume}`,
        ),
      ]),
    ),
  ),
);

describe('a folder', () => {
  const folder = folderOf('visit', {
    ...VISIT,
    'DOE_JANE/DICOMDIR': slice({ '0008,0016': '1.2.840.10008.1.3.10' }, '8'),
    'DOE_JANE/report.pdf': '%PDF-1.7',
    'DOE_JANE/ct1': slice({ '0008,0060': 'CT' }, '9', '1'),
    'DOE_JANE/ct2': slice({ '0008,0060': 'CT' }, '9', '2'),
    '.hidden/IM': slice({}, '7'),
  });

  test('is read whole, below any folders: scans by series, slices and volumes counted', async () => {
    const { scans } = await importPaths([folder]);
    expect(scans.map(({ name }) => name)).toEqual(['func', 'func-2']);
    expect(scans.map(({ fields }) => fields.RepetitionTime!.value)).toEqual([1.5, 2.5]);
    for (const { fields } of scans) {
      expect([fields.NumberOfSlices!.value, fields.NumberOfVolumes!.value]).toEqual([3, 2]);
    }
  });

  test('says which series, and counts what it left out, without naming files', async () => {
    const { scans, skipped } = await importPaths([folder]);
    expect(scans.map(({ files }) => files)).toEqual([
      [`${folder} (series 1, 6 files)`],
      [`${folder} (series 2, 6 files)`],
    ]);
    expect(skipped).toEqual([
      {
        file: folder,
        why: 'file 1 of 16 in the order of their names: the directory of a DICOM medium: give the folder with the images',
      },
      {
        file: folder,
        why: '2 of 16 files, the first number 14 in the order of their names: a DICOM file of another kind than MR: Modality (0008,0060) is CT',
      },
      {
        file: folder,
        why: 'file 16 of 16 in the order of their names: neither a DICOM nor a Pulseq file',
      },
    ]);
  });

  test('gives nothing that could tell who, where or when, in any form', async () => {
    const file = path.join(root, 'visit.yaml');
    const printed = await softknock('import', folder);
    const json = await softknock('import', folder, '--json');
    const written = await softknock('import', folder, '--out', file);
    expect([printed.status, json.status, written.status]).toEqual([0, 0, 0]);
    const all = [printed, json, written].flatMap(({ out, err }) => [out, err]).join('\n');
    expect(all).toContain('EchoTime');
    expect(all).not.toMatch(/jane|doe|20270102|elsewhere|serial77|protocol of|rest of|2\.25\./i);
    expect(readStudyFile(printed.out, 'study.yaml').scans).toHaveLength(2);
  });

  test('with neither scans nor sidecars is answered', async () => {
    const empty = folderOf('others', { 'a.txt': 'x', b: slice().subarray(0, 100) });
    const { scans, skipped } = await importPaths([empty]);
    expect(scans).toEqual([]);
    expect(skipped.map(({ why }) => why)).toEqual([
      expect.stringContaining('holds neither sidecars (.json) nor DICOM or Pulseq files'),
    ]);
  });
});

describe('mixtures', () => {
  const mixed = folderOf('mixed', {
    'a/1.dcm': slice({ '0018,0080': '1100' }, '3'),
    'b.json': JSON.stringify({
      ScanningSequence: 'EP',
      MRAcquisitionType: '2D',
      RepetitionTime: 2,
      SeriesNumber: 5,
    }),
    'b.nii.gz': 'not looked at as DICOM',
  });

  test('sidecars and DICOM files of a folder are both taken, with a warning', async () => {
    const { scans, skipped, notes } = await importPaths([mixed]);
    expect(scans.map(({ fields }) => fields.RepetitionTime!.value)).toEqual([1.1, 2]);
    expect(skipped).toEqual([]);
    expect(notes[0]).toMatch(/^Both sidecars and DICOM files were found/);
  });

  test('files of a series that are given one by one are one scan', async () => {
    const folder = folderOf('singles', {
      one: slice({ '0020,0032': '0\\0\\0' }, '4', '1'),
      two: slice({ '0020,0032': '0\\0\\3' }, '4', '2'),
    });
    const { scans } = await importPaths([path.join(folder, 'one'), path.join(folder, 'two')]);
    expect(scans).toHaveLength(1);
    expect(scans[0]!.fields.NumberOfSlices!.value).toBe(2);
    expect(scans[0]!.files).toEqual([`${path.join(folder, 'one')} (series 4, 2 files)`]);
  });

  test('a file by itself is named as it was given, whatever its ending', async () => {
    const file = path.join(folderOf('alone', { 'scan.txt': slice() }), 'scan.txt');
    const { scans } = await importPaths([file]);
    expect(scans.map(({ files }) => files)).toEqual([[file]]);
  });

  test('Pulseq files are known by what is in them', async () => {
    const folder = folderOf('sequences', { 'no-ending': '# Pulseq sequence file\n[VERSION]\n' });
    for (const given of [folder, path.join(folder, 'no-ending')]) {
      const { scans, skipped } = await importPaths([given]);
      expect(scans).toEqual([]);
      expect(skipped.map(({ why }) => why)).toEqual([expect.stringContaining('no major')]);
    }
  });
});

describe('reading', () => {
  test('goes on where the header is longer than what is read first, and stops at the pixels', async () => {
    // 100 kB and 1 MB before elements of interest; in the second, more than is read at first twice over.
    for (const size of [100_000, 1_000_000]) {
      const long = element('0009,1010', 'OB', new Uint8Array(size));
      const elements = [...echoPlanarSlice({ '7fe0,0010': new Uint8Array(3_000_000) }), long];
      elements.sort((a, b) => (a.tag < b.tag ? -1 : 1));
      const folder = folderOf(`long-${size}`, { IM1: writeDicom(elements, 'explicit') });
      const { scans, notes } = await importPaths([folder]);
      expect(scans.map(({ fields }) => fields.RepetitionTime!.value)).toEqual([2]);
      expect(notes).toEqual([]);
    }
  });

  test.each(['explicit', 'implicit', 'big-endian', 'deflated'] as const)(
    '%s: a file cut off at any length is a scan or has a reason',
    async syntax => {
      const bytes = writeDicom(echoPlanarSlice(), syntax);
      const outcomes = new Set<string>();
      for (let length = 0; length < bytes.length; length += 7) {
        const file = path.join(root, `cut-${syntax}`);
        writeFileSync(file, bytes.subarray(0, length));
        const { scans, skipped } = await importPaths([file]);
        expect(scans.length + skipped.length).toBe(1);
        outcomes.add(scans[0]?.type ?? skipped[0]!.why);
      }
      expect(outcomes).toContain('echo-planar');
      for (const outcome of outcomes) expect(outcome).not.toBe('');
    },
  );

  test('says that a header was cut off', async () => {
    const file = path.join(folderOf('cut', { IM1: slice().subarray(0, -200) }), 'IM1');
    const { scans, notes } = await importPaths([file]);
    expect(scans).toHaveLength(1);
    expect(notes[0]).toBe(
      'The DICOM headers of 1 series are cut off or damaged: what comes before that was read.',
    );
  });

  test('a link to a file that is not here has a reason', async () => {
    const folder = folderOf('links', { IM1: slice() });
    symlinkSync(path.join(folder, 'nowhere'), path.join(folder, 'IM2'));
    const { scans, skipped } = await importPaths([folder]);
    expect(scans).toHaveLength(1);
    expect(skipped.map(({ why }) => why)).toEqual([
      'file 2 of 2 in the order of their names: a link to a file that is not here',
    ]);
  });
});
