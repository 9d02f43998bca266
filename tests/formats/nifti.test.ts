/** Image headers against those that nibabel writes and reads. Origin: tests/vectors/nibabel/README.md. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { gunzipSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { NIFTI_HEADER_BYTES, parseNiftiHeader } from '../../src/formats/nifti.js';

interface Case {
  readonly file: string;
  readonly shape: readonly number[];
  readonly zooms: readonly number[];
  readonly units: 'mm' | 'micron';
}

const VECTORS = path.join(import.meta.dirname, '../vectors/nibabel');
const { cases } = JSON.parse(readFileSync(path.join(VECTORS, 'expected.json'), 'utf8')) as {
  cases: readonly Case[];
};

const bytesOf = (file: string): Uint8Array => {
  const bytes = readFileSync(path.join(VECTORS, file));
  return (file.endsWith('.gz') ? gunzipSync(bytes) : bytes).subarray(0, NIFTI_HEADER_BYTES);
};

test('there are five headers: two versions, two byte orders, two units', () => {
  expect(cases).toHaveLength(5);
});

test.each(cases)('$file has the size that nibabel reads', ({ file, shape, zooms, units }) => {
  const header = parseNiftiHeader(bytesOf(file))!;
  expect(header.size).toEqual(shape.slice(0, 3));
  expect(header.volumes).toBe(shape[3] ?? 1);
  const scale = units === 'micron' ? 0.001 : 1;
  for (const [i, mm] of header.voxelMm.entries()) {
    // Headers of version 1 hold 32-bit numbers.
    expect(mm / (zooms[i]! * scale)).toBeCloseTo(1, 6);
  }
});

describe('what is no header', () => {
  const good = bytesOf('anat.nii');
  const changed = (offset: number, ...bytes: readonly number[]): Uint8Array => {
    const copy = Uint8Array.from(good);
    copy.set(bytes, offset);
    return copy;
  };

  test.each([
    ['nothing', new Uint8Array()],
    ['too few bytes', good.subarray(0, 347)],
    ['another size of the header', changed(0, 0, 0, 0, 0)],
    ['two dimensions', changed(40, 2, 0)],
    ['no voxel along one axis', changed(42, 0, 0)],
    ['a negative number of voxels', changed(42, 0xff, 0xff)],
    ['a voxel of size 0', changed(80, 0, 0, 0, 0)],
    ['a voxel of size NaN', changed(80, 0, 0, 0xc0, 0x7f)],
  ])('%s', (_, bytes) => {
    expect(parseNiftiHeader(bytes)).toBeUndefined();
  });
});
