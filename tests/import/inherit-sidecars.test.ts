/**
 * Inheritance of sidecars: examples 1, 3 and 4 of "The Inheritance Principle" in the BIDS specification
 * (src/common-principles.md, commit 009c8b6).
 */
import { describe, expect, test } from 'vitest';
import { applicableFiles, mergeSidecars } from '../../src/import/inherit-sidecars.js';

describe('example 1: a top-level file, and a nearer one for another acquisition', () => {
  const near = 'sub-01/func/sub-01_task-rest_acq-longtr_bold.json';
  const files = [near, 'task-rest_bold.json', 'scans.json'];

  test('the image without that entity reads the top-level file alone', () => {
    const image = 'sub-01/func/sub-01_task-rest_acq-default_bold.nii.gz';
    expect(applicableFiles(image, files)).toEqual(['task-rest_bold.json']);
  });

  test('the other reads both, the nearer last; what it does not name stays', () => {
    const image = 'sub-01/func/sub-01_task-rest_acq-longtr_bold.nii.gz';
    expect(applicableFiles(image, files)).toEqual(['task-rest_bold.json', near]);
    expect(mergeSidecars([{ EchoTime: 0.04, RepetitionTime: 1 }, { RepetitionTime: 3 }])).toEqual({
      EchoTime: 0.04,
      RepetitionTime: 3,
    });
  });
});

describe('example 3: a file of the session, and one of a run', () => {
  const session = 'sub-01/ses-test/sub-01_ses-test_task-overtverbgeneration_bold.json';
  const run2 = 'sub-01/ses-test/func/sub-01_ses-test_task-overtverbgeneration_run-2_bold.json';
  const image = (name: string) => `sub-01/ses-test/${name}.nii.gz`;

  test.each([
    ['func/sub-01_ses-test_task-overtverbgeneration_run-1_bold', [session]],
    ['func/sub-01_ses-test_task-overtverbgeneration_run-2_bold', [session, run2]],
    ['anat/sub-01_ses-test_T1w', []],
  ])('%s', (name, expected) => {
    expect(applicableFiles(image(name), [run2, session])).toEqual(expected);
  });
});

test('example 4: one file for two runs in its folder', () => {
  const file = 'sub-01/func/sub-01_task-xyz_acq-test1_bold.json';
  for (const run of [1, 2]) {
    const image = `sub-01/func/sub-01_task-xyz_acq-test1_run-${run}_bold.nii.gz`;
    expect(applicableFiles(image, [file])).toEqual([file]);
  }
});

test('files of another folder, participant, task or suffix do not apply', () => {
  const image = 'sub-01/func/sub-01_task-rest_bold.nii.gz';
  const others = [
    'sub-02/func/sub-02_task-rest_bold.json',
    'sub-0/sub-01_task-rest_bold.json',
    'task-film_bold.json',
    'task-rest_sbref.json',
  ];
  expect(applicableFiles(image, others)).toEqual([]);
});
