/** What is read of DICOM files, beside what the standard says can identify people. */
import { describe, expect, test } from 'vitest';
import { CONDENSED, roleOf, type TagRow, TAGS } from '../../../src/formats/dicom/tags.js';
import { csvVectors } from '../../helpers/csv-vectors.js';

/** PS3.15, Table E.1-1: every attribute that a de-identified file may not keep as it is. */
const IDENTIFYING = csvVectors('dicom-ps3.15/table-e1-1.csv', [
  'group',
  'element',
  'action',
  'name',
]);

const identifying = new Set(IDENTIFYING.map(({ group, element }) => `${group},${element}`));

/** Names of the rows that the table lists. */
const listed = (rows: Readonly<Record<string, TagRow>>): string[] =>
  Object.entries(rows)
    .filter(([, { at, creator }]) => creator === undefined && identifying.has(at))
    .map(([name]) => name);

test('the table is there', () => {
  expect(IDENTIFYING).toHaveLength(426);
  expect(identifying.has('0010,0010')).toBe(true);
});

describe('of the attributes that can identify', () => {
  test('only names of series are read as they are, to see which files belong together', () => {
    expect(listed(TAGS)).toEqual(['SeriesDescription', 'ProtocolName']);
  });

  test('only these are read to be condensed: to codes, a time of day, a number', () => {
    expect(listed(CONDENSED)).toEqual([
      'SOPInstanceUID',
      'AcquisitionTime',
      'SeriesInstanceUID',
      'ImageComments',
    ]);
  });

  test('none is of the groups of people, visits, procedures', () => {
    const groups = Object.values({ ...TAGS, ...CONDENSED }).map(({ at }) => at.slice(0, 4));
    for (const group of ['0010', '0012', '0032', '0038', '0040', '4008']) {
      expect(groups).not.toContain(group);
    }
  });
});

describe('the role of an element', () => {
  test.each([
    ['x00180080', undefined, 'value'],
    ['x0020000e', undefined, 'condensed'],
    ['x52009229', undefined, 'nested'],
    ['x52009230', undefined, 'frames'],
    ['x00431a2c', 'GEMS_PARM_01', 'value'],
    ['x00431a2c', 'gems_parm_01 ', 'value'],
    ['x00431a2c', 'SOMEBODY', undefined],
    ['x00431a2c', undefined, undefined],
    ['x00100010', undefined, undefined],
    ['x7fe00010', undefined, undefined],
  ])('%s, reserved by %s: %s', (tag, creator, role) => {
    expect(roleOf(tag, creator)?.role).toBe(role);
  });
});
