/** Datasets, sidecars and folders of mixed files from the disk. */
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { importPaths } from '../../src/io/import-paths.js';

const VECTORS = path.join(import.meta.dirname, '../vectors/nibabel');
const root = mkdtempSync(path.join(tmpdir(), 'softknock-bids-'));
afterAll(() => {
  rmSync(root, { recursive: true });
});

/** Writes files below a folder of its own; objects as JSON. */
function folderOf(name: string, files: Readonly<Record<string, unknown>>): string {
  const folder = path.join(root, name);
  mkdirSync(folder, { recursive: true });
  for (const [file, content] of Object.entries(files)) {
    const full = path.join(folder, file);
    mkdirSync(path.dirname(full), { recursive: true });
    writeFileSync(full, typeof content === 'string' ? content : JSON.stringify(content));
  }
  return folder;
}

const EPI = { MRAcquisitionType: '2D', ScanningSequence: 'EP', PhaseEncodingDirection: 'j' };
const T1 = {
  MRAcquisitionType: '3D',
  ScanningSequence: 'GR\\IR',
  RepetitionTime: 2.3,
  InversionTime: 0.9,
};

describe('a dataset', () => {
  const dataset = folderOf('dataset', {
    'dataset_description.json': { Name: 'x' },
    'participants.json': {},
    'participants.tsv': 'participant_id\n',
    'task-rest_bold.json': { ...EPI, RepetitionTime: 1, EchoTime: 0.04, EchoSpacing: 1 },
    'dwi.bval': '0 1000 1000\n',
    'derivatives/x/sub-02/func/sub-02_task-other_bold.json': EPI,
    'sourcedata/sub-02/func/sub-02_task-other_bold.json': EPI,
    '.hidden/sub-02/func/sub-02_task-other_bold.json': EPI,
    'sub-01/anat/sub-01_T1w.json': T1,
    'sub-02/ses-1/anat/sub-02_ses-1_T1w.json': T1,
    'sub-02/ses-1/func/sub-02_ses-1_task-rest_bold.json': { RepetitionTime: 3 },
    'sub-02/ses-1/func/sub-02_ses-1_task-rest_events.tsv': 'onset\tduration\n',
    'sub-02/ses-1/func/sub-02_ses-1_task-rest_events.json': {},
    'sub-02/ses-1/dwi/sub-02_ses-1_dwi.json': EPI,
    'sub-02/ses-2/anat/sub-02_ses-2_T1w.json': T1,
    'sub-10/anat/sub-10_T1w.json': T1,
  });
  cpSync(
    path.join(VECTORS, 'bold.nii.gz'),
    path.join(dataset, 'sub-02/ses-1/func/sub-02_ses-1_task-rest_bold.nii.gz'),
  );

  test('is read from the first visit with the most complete set of scans, and says so', async () => {
    const { scans, skipped, notes } = await importPaths([dataset]);
    expect(scans.map(({ name }) => name)).toEqual(['t1', 'func-rest', 'diffusion']);
    expect(skipped).toEqual([]);
    expect(notes[0]).toMatch(/4 visits .* most complete set \(3 scans\)/);
  });

  test('inherits from above, the nearer value winning', async () => {
    const { scans } = await importPaths([dataset]);
    const { fields } = scans[1]!;
    expect([fields.RepetitionTime!.value, fields.EchoTime!.value]).toEqual([3, 0.04]);
  });

  test('takes volumes and slices from the header of a compressed image', async () => {
    const { scans } = await importPaths([dataset]);
    expect(scans[1]!.fields.NumberOfVolumes!.value).toBe(4);
    expect(scans[1]!.fields.NumberOfSlices!.value).toBe(6);
  });

  test('takes b-values from above when there are none beside the scan', async () => {
    const { scans } = await importPaths([dataset]);
    expect(scans[2]!.fields.DiffusionBValues!.value).toEqual([0, 1000]);
  });

  test('names files below the path that was given', async () => {
    const { scans } = await importPaths([dataset]);
    const file = path.join(dataset, 'sub-02/ses-1/func/sub-02_ses-1_task-rest_bold.json');
    expect(scans[1]!.files).toEqual([file]);
  });

  test('can be given by a participant, a session or a scan, which inherit all the same', async () => {
    const session = path.join(dataset, 'sub-02/ses-1');
    const scan = path.join(session, 'func/sub-02_ses-1_task-rest_bold.json');
    const image = scan.replace('.json', '.nii.gz');
    expect((await importPaths([path.join(dataset, 'sub-10')])).scans).toHaveLength(1);
    expect((await importPaths([session])).scans).toHaveLength(3);
    for (const file of [scan, image]) {
      const { scans } = await importPaths([file]);
      expect(scans).toHaveLength(1);
      expect(scans[0]!.fields.EchoTime!.value).toBe(0.04);
      expect(scans[0]!.files).toEqual([scan]);
    }
  });
});

test('an image with sidecars only above it is a scan', async () => {
  const dataset = folderOf('above', {
    'dataset_description.json': {},
    'task-rest_bold.json': { ...EPI, RepetitionTime: 2 },
    'sub-1/func/sub-1_task-rest_bold.nii': '',
  });
  const { scans } = await importPaths([dataset]);
  expect(scans.map(({ name }) => name)).toEqual(['func-rest']);
});

test("a converter's folder without BIDS names is read whole", async () => {
  const folder = folderOf('converted', {
    '2_localizer.json': { SeriesDescription: 'localizer', SeriesNumber: 2 },
    'more/5_rest.json': { ...EPI, RepetitionTime: 2, SeriesNumber: 5 },
  });
  const { scans } = await importPaths([folder]);
  expect(scans.map(({ name }) => name)).toEqual(['localiser', 'func']);
});

describe('what cannot be read is skipped with the reason, and the rest goes on', () => {
  const good = { ...EPI, RepetitionTime: 2 };
  const nested = `${'{"a":'.repeat(100)}1${'}'.repeat(100)}`;
  const folder = folderOf('bad', {
    'sub-1_task-good_bold.json': good,
    'sub-1_task-text_bold.json': '{ "RepetitionTime": 2,',
    'sub-1_task-list_bold.json': '[1, 2]',
    'sub-1_task-number_bold.json': '3',
    'sub-1_task-deep_bold.json': nested,
    'sub-1_task-deeper_bold.json': `${'['.repeat(200_000)}${']'.repeat(200_000)}`,
    'sub-1_task-empty_bold.json': '',
    'sub-1_task-latin_bold.json': 'x',
    'sub-1_task-nan_bold.json': '{"RepetitionTime": 2, "EchoTime": NaN, "ScanningSequence": "EP"}',
    'other.json': {},
  });
  writeFileSync(
    path.join(folder, 'sub-1_task-latin_bold.json'),
    Buffer.from('{"a": "é"}', 'latin1'),
  );
  symlinkSync('../annex/nowhere', path.join(folder, 'sub-1_task-link_bold.json'));

  test('sidecar by sidecar', async () => {
    const { scans, skipped } = await importPaths([folder]);
    expect(scans.map(({ name }) => name).sort()).toEqual(['func-good', 'func-nan']);
    const reasons = Object.fromEntries(
      skipped.map(({ file, why }) => [
        path.basename(file, '.json').replace('sub-1_task-', ''),
        why,
      ]),
    );
    const notJson = 'not JSON that can be read: convert the scan again, or correct the file';
    const notMapping = 'not a sidecar: its JSON is not a mapping of names to values';
    expect(reasons).toEqual({
      text_bold: notJson,
      empty_bold: notJson,
      list_bold: notMapping,
      number_bold: notMapping,
      deep_bold: 'not a sidecar: its JSON is nested more than 30 levels deep',
      deeper_bold: expect.stringMatching(/^not (JSON|a sidecar)/) as string,
      latin_bold: 'not UTF-8 text: save it as UTF-8',
      link_bold: 'a link to content that is not here: fetch it first',
      other: 'neither its name nor its values say which kind of scan it is',
    });
  });

  test('path by path', async () => {
    const empty = folderOf('empty', {});
    const files = folderOf('files', { 'notes.txt': 'x' });
    const { scans, skipped } = await importPaths([
      path.join(root, 'nowhere'),
      empty,
      path.join(files, 'notes.txt'),
      path.join(folder, 'sub-1_task-good_bold.json'),
    ]);
    expect(scans).toHaveLength(1);
    expect(skipped.map(({ why }) => why)).toEqual([
      'no such file or folder: check the path',
      expect.stringContaining('holds neither sidecars (.json) nor DICOM or Pulseq files'),
      expect.stringContaining('is neither a BIDS sidecar (.json) nor a DICOM or Pulseq file'),
    ]);
  });

  test('a broken sidecar that applies from above is named', async () => {
    const dataset = folderOf('broken-above', {
      'dataset_description.json': {},
      'task-rest_bold.json': '{',
      'sub-1/func/sub-1_task-rest_bold.json': good,
      'sub-1/anat/sub-1_T1w.json': T1,
    });
    const { scans, skipped } = await importPaths([dataset]);
    expect(scans.map(({ name }) => name)).toEqual(['t1']);
    expect(skipped[0]!.why).toMatch(/^task-rest_bold\.json, which applies to it: not JSON/);
  });
});
