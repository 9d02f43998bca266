/** BIDS names; the examples are of the BIDS specification's folder listings. */
import { expect, test } from 'vitest';
import { isOtherMetadata, parseBidsName } from '../../src/import/bids-name.js';

test('takes a path apart', () => {
  const path = 'sub-01/ses-test/func/sub-01_ses-test_task-overtverbgeneration_run-1_bold.nii.gz';
  expect(parseBidsName(path)).toEqual({
    stem: 'sub-01/ses-test/func/sub-01_ses-test_task-overtverbgeneration_run-1_bold',
    folder: 'sub-01/ses-test/func',
    entities: { sub: '01', ses: 'test', task: 'overtverbgeneration', run: '1' },
    suffix: 'bold',
    datatype: 'func',
  });
});

test.each([
  ['task-rest_bold.json', 'bold', undefined],
  ['bold.json', 'bold', undefined],
  ['sub-01/anat/sub-01_T1w.json', 'T1w', 'anat'],
  ['sub-01\\fmap\\sub-01_dir-AP_epi.json', 'epi', 'fmap'],
  ['12_gre_field_mapping_e1.json', undefined, undefined],
  ['T1w/brain.json', undefined, undefined],
])('%s has the suffix %s and the datatype %s', (path, suffix, datatype) => {
  const name = parseBidsName(path);
  expect([name.suffix, name.datatype]).toEqual([suffix, datatype]);
});

test.each([
  ['dataset_description.json', true],
  ['participants.json', true],
  ['sub-01_task-rest_events.json', true],
  ['sub-01_task-rest_recording-eye1_physio.json', true],
  ['sub-01_task-rest_bold.json', false],
  ['5_EPI.json', false],
])('%s describes something other than an MRI scan: %s', (path, other) => {
  expect(isOtherMetadata(path)).toBe(other);
});
