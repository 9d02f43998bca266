/**
 * Where a scan's lines and slices lie, from its sidecar and the header of its image.
 *
 * @module
 */
import { derived, given, type Sourced } from '../protocol/origin.js';
import type { Fields } from './sidecar-fields.js';
import type { Sidecar } from './sidecar.js';

/** Size of an image: voxels and their size in mm along i, j and k, and volumes. */
export interface ImageSize {
  readonly size: readonly [number, number, number];
  readonly voxelMm: readonly [number, number, number];
  /** Undefined when they are not known. */
  readonly volumes: number | undefined;
  /** How slices and volumes are known, when not from the header of an image file. */
  readonly why?: { readonly slices: string; readonly volumes: string };
}

/** How DICOM converters abbreviate the plane of the slices. */
const PLANES = { Sag: 'sagittal', Cor: 'coronal', Tra: 'axial' } as const;

/** Plane of the slices and axis of the phase encoding. */
export function readDirections(sidecar: Sidecar): Fields {
  const orientation = readOrientation(sidecar);
  const phase = readPhaseEncoding(sidecar);
  return {
    ...(orientation === undefined ? {} : { SliceOrientation: orientation }),
    ...(phase === undefined ? {} : { PhaseEncodingDirection: phase }),
  };
}

function readPhaseEncoding(sidecar: Sidecar): Sourced<string> | undefined {
  for (const key of ['PhaseEncodingDirection', 'PhaseEncodingAxis']) {
    const direction = sidecar.text(key);
    if (/^[ijk]-?$/.test(direction)) return given(direction, sidecar.cite(key));
  }
  const dicom = sidecar.text('InPlanePhaseEncodingDirectionDICOM');
  if (dicom !== 'ROW' && dicom !== 'COL') return undefined;
  return derived(dicom === 'ROW' ? 'i' : 'j', `InPlanePhaseEncodingDirectionDICOM is ${dicom}`);
}

function readOrientation(sidecar: Sidecar): Sourced<string> | undefined {
  const stated = /^(Sag|Cor|Tra)/.exec(sidecar.text('ImageOrientationText'))?.[1];
  if (stated !== undefined) {
    const plane = PLANES[stated as keyof typeof PLANES];
    return derived(plane, `ImageOrientationText starts with ${stated}`);
  }
  const cosines = sidecar.numbers('ImageOrientationPatientDICOM');
  if (cosines?.length !== 6) return undefined;
  const [rx, ry, rz, cx, cy, cz] = cosines as [number, number, number, number, number, number];
  const normal = [ry * cz - rz * cy, rz * cx - rx * cz, rx * cy - ry * cx].map(Math.abs);
  const plane = [PLANES.Sag, PLANES.Cor, PLANES.Tra][normal.indexOf(Math.max(...normal))]!;
  return derived(plane, 'largest part of the normal of ImageOrientationPatientDICOM');
}

/** Matrix and voxel under the names that makers use, with lines added by oversampling. */
export function readMatrix(sidecar: Sidecar): Fields {
  const fields: Fields = {};
  for (const key of ['NumberOfPointsPerArm', 'FrequencyEncodingSteps']) {
    const samples = sidecar.positive(key);
    if (samples !== undefined && !sidecar.has('BaseResolution')) {
      fields.BaseResolution = derived(samples, sidecar.cite(key));
    }
  }
  const lines = sidecar.positive('AcquisitionMatrixPE');
  const oversampling = sidecar.positive('PhaseOversampling');
  if (lines !== undefined && oversampling !== undefined) {
    fields.AcquisitionMatrixPE = derived(
      Math.round(lines * (1 + oversampling)),
      `AcquisitionMatrixPE ${lines} x (1 + PhaseOversampling ${oversampling})`,
    );
  }
  const size = sidecar.numbers('AcquisitionVoxelSize');
  if (size?.length === 3) {
    fields.AcquisitionVoxelSize = given(size, sidecar.cite('AcquisitionVoxelSize'));
  }
  return fields;
}

/** Slew rate that no echo-planar readout of whole-body gradients passes, in T/m/s. Common practice, no source. */
const HIGHEST_SLEW_RATE = 200;

/** Gyromagnetic ratio of the proton over 2 pi, in Hz/T. */
const PROTON_HZ_PER_T = 42.577e6;

/**
 * The voxel of an echo-planar scan where the one stated cannot be the acquired one: some sidecars give
 * that of an interpolated image, which no gradient could read in the echo spacing.
 */
export function correctVoxel(fields: Fields, sidecar: Sidecar): Fields {
  const size = fields.AcquisitionVoxelSize?.value;
  const spacing = fields.EchoSpacing?.value;
  if (!Array.isArray(size) || typeof spacing !== 'number') return {};
  const slewRate = 4 / (PROTON_HZ_PER_T * (size[0] as number) * 1e-3 * spacing ** 2);
  const recon = sidecar.positive('ReconMatrixPE');
  const acquired = sidecar.positive('AcquisitionMatrixPE');
  if (slewRate <= HIGHEST_SLEW_RATE || recon === undefined || acquired === undefined) return {};
  if (recon <= acquired) return {};
  const ratio = recon / acquired;
  const sides = [size[0] * ratio, size[1] * ratio, size[2] as number];
  return {
    AcquisitionVoxelSize: derived(
      sides.map(side => Number(side.toPrecision(5))),
      `AcquisitionVoxelSize x ReconMatrixPE ${recon} / AcquisitionMatrixPE ${acquired}: ` +
        `as stated it is that of an interpolated image, too fine for the echo spacing`,
    ),
  };
}

/** Slices, voxel size and, for a series, volumes, from the header of the image. */
export function readImage(image: ImageSize, sidecar: Sidecar, isSeries: boolean): Fields {
  const fields: Fields = {
    NumberOfSlices: derived(
      image.size[2],
      image.why?.slices ?? 'slices in the header of the image',
    ),
  };
  if (isSeries && image.volumes !== undefined) {
    const why = image.why?.volumes ?? 'volumes in the header of the image';
    fields.NumberOfVolumes = derived(image.volumes, why);
  }
  const voxel = acquiredVoxel(image, sidecar);
  if (voxel !== undefined && !sidecar.has('AcquisitionVoxelSize')) {
    const why = 'field of view of the image / acquired matrix, and slice thickness';
    fields.AcquisitionVoxelSize = derived(voxel, why);
  }
  return fields;
}

/** Acquired voxel along read, phase and slice: the image's own voxels may be interpolated. */
function acquiredVoxel(image: ImageSize, sidecar: Sidecar): readonly number[] | undefined {
  const direction = readPhaseEncoding(sidecar)?.value[0];
  if (direction !== 'i' && direction !== 'j') return undefined;
  const phase = direction === 'i' ? 0 : 1;
  const samples = sidecar.positive('BaseResolution') ?? sidecar.positive('FrequencyEncodingSteps');
  const along = (axis: 0 | 1, matrix: number | undefined): number =>
    matrix === undefined ? image.voxelMm[axis] : (image.size[axis] * image.voxelMm[axis]) / matrix;
  const sides = [
    along(phase === 0 ? 1 : 0, samples),
    along(phase, sidecar.positive('AcquisitionMatrixPE')),
    sidecar.positive('SliceThickness') ?? image.voxelMm[2],
  ];
  return sides.map(side => Number(side.toPrecision(5)));
}
