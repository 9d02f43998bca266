/** Planes, axes, matrices and voxels. Arithmetic beside each case. */
import { describe, expect, test } from 'vitest';
import { readDirections, readImage, readMatrix } from '../../src/import/sidecar-geometry.js';
import { Sidecar } from '../../src/import/sidecar.js';
import { describeWithOpenData, openSidecars } from '../helpers/open-data.js';

const directions = (json: Record<string, unknown>) => readDirections(new Sidecar(json));
const matrix = (json: Record<string, unknown>) => readMatrix(new Sidecar(json));

describeWithOpenData('the plane of open sidecars', () => {
  const both = openSidecars().filter(
    ({ json }) => json['ImageOrientationText'] && json['ImageOrientationPatientDICOM'],
  );

  test('there are nine that state it twice', () => {
    expect(both).toHaveLength(9);
  });

  test.each(both)('$path: direction cosines say the plane that the text says', ({ json }) => {
    const { ImageOrientationText, ImageOrientationPatientDICOM } = json;
    const fromText = directions({ ImageOrientationText }).SliceOrientation!;
    const fromCosines = directions({ ImageOrientationPatientDICOM }).SliceOrientation!;
    expect(fromCosines.value).toBe(fromText.value);
    expect(fromText.why).toMatch(/^ImageOrientationText starts with (Sag|Cor|Tra)$/);
  });
});

describe('the plane', () => {
  // DICOM PS3.3 C.7.6.2.1.1: x to the left, y to the back, z to the head; rows, then columns.
  test.each([
    ['axial', [1, 0, 0, 0, 1, 0]],
    ['coronal', [1, 0, 0, 0, 0, -1]],
    ['sagittal', [0, 1, 0, 0, 0, -1]],
    ['axial', [0.9, 0.1, 0.42, 0, 0.97, -0.24]],
  ])('is %s for the cosines %j', (plane, cosines) => {
    const json = { ImageOrientationPatientDICOM: cosines };
    expect(directions(json).SliceOrientation!.value).toBe(plane);
  });

  test.each([[[1, 0, 0, 0, 1]], [[1, 0, 0, 0, 1, 0, 0]], ['x'], [[1, 0, 0, 0, 1, 'x']]])(
    'is not read from %j',
    cosines => {
      expect(directions({ ImageOrientationPatientDICOM: cosines })).toEqual({});
    },
  );
});

describe('the axis of the phase encoding', () => {
  test.each([
    [{ PhaseEncodingDirection: 'j-', InPlanePhaseEncodingDirectionDICOM: 'ROW' }, 'j-', 'given'],
    [{ PhaseEncodingAxis: 'i' }, 'i', 'given'],
    [{ InPlanePhaseEncodingDirectionDICOM: 'ROW' }, 'i', 'derived'],
    [{ InPlanePhaseEncodingDirectionDICOM: 'COL' }, 'j', 'derived'],
  ])('of %j is %s', (json, value, origin) => {
    expect(directions(json).PhaseEncodingDirection).toMatchObject({ value, origin });
  });

  test.each([{ PhaseEncodingDirection: 'y' }, { InPlanePhaseEncodingDirectionDICOM: 'OTHER' }, {}])(
    'is not read from %j',
    json => {
      expect(directions(json)).toEqual({});
    },
  );
});

describe('the matrix', () => {
  test('counts lines of phase oversampling', () => {
    // 90 x (1 + 0.5) = 135.
    const fields = matrix({ AcquisitionMatrixPE: 90, PhaseOversampling: 0.5 });
    expect(fields.AcquisitionMatrixPE).toMatchObject({ value: 135, origin: 'derived' });
    expect(matrix({ AcquisitionMatrixPE: 90 })).toEqual({});
    expect(matrix({ PhaseOversampling: 0.5 })).toEqual({});
  });

  test('takes samples along the readout under the names of other makers', () => {
    const names = { FrequencyEncodingSteps: 96, NumberOfPointsPerArm: 128 };
    expect(matrix({ NumberOfPointsPerArm: 128 }).BaseResolution!.value).toBe(128);
    expect(matrix(names).BaseResolution!.value).toBe(96);
    expect(matrix({ ...names, BaseResolution: 64 })).toEqual({});
  });

  test('takes an acquired voxel of three sides', () => {
    const voxel = (sides: unknown) => matrix({ AcquisitionVoxelSize: sides }).AcquisitionVoxelSize;
    expect(voxel([2, 2, 3])).toMatchObject({ value: [2, 2, 3], origin: 'given' });
    expect(voxel([2, 2])).toBeUndefined();
    expect(voxel(2)).toBeUndefined();
  });
});

describe('the image', () => {
  const image = { size: [200, 100, 40], voxelMm: [1, 2, 3.3], volumes: 5 } as const;
  const read = (json: Record<string, unknown>, isSeries = true) =>
    readImage(image, new Sidecar(json), isSeries);

  test('has slices, and volumes if it is a series', () => {
    expect(read({}).NumberOfSlices!.value).toBe(40);
    expect(read({}).NumberOfVolumes!.value).toBe(5);
    expect(read({}, false).NumberOfVolumes).toBeUndefined();
  });

  test.each([
    // Along i 200 x 1 mm, along j 100 x 2 mm: 200 mm / 80 samples = 2.5 mm, / 50 lines = 4 mm.
    [{ PhaseEncodingDirection: 'j' }, [1, 2, 3.3]],
    [{ PhaseEncodingDirection: 'i-' }, [2, 1, 3.3]],
    [{ PhaseEncodingDirection: 'j', BaseResolution: 80, AcquisitionMatrixPE: 50 }, [2.5, 4, 3.3]],
    [{ PhaseEncodingDirection: 'i', FrequencyEncodingSteps: 80, SliceThickness: 3 }, [2.5, 1, 3]],
  ])('with %j has acquired voxels of %j mm along read, phase and slice', (json, sides) => {
    expect(read(json).AcquisitionVoxelSize!.value).toEqual(sides);
  });

  test('says nothing of voxels without the axis, along the slices, or when the sidecar does', () => {
    for (const json of [
      {},
      { PhaseEncodingDirection: 'k' },
      { PhaseEncodingDirection: 'j', AcquisitionVoxelSize: [1, 1, 1] },
    ]) {
      expect(read(json).AcquisitionVoxelSize).toBeUndefined();
    }
  });
});
