/**
 * The header of a NIfTI-1 or NIfTI-2 image: its size in voxels, their size, and the volumes.
 *
 * Source: nifti1.h and nifti2.h (nifti.nimh.nih.gov): `dim` at byte 40 (16) and `pixdim` at byte 76
 * (104), in the byte order in which `sizeof_hdr` is 348 (540).
 *
 * @module
 */

export interface NiftiHeader {
  /** Voxels along i, j and k. */
  readonly size: readonly [number, number, number];
  /** Voxel size along i, j and k in mm. */
  readonly voxelMm: readonly [number, number, number];
  /** Volumes; 1 for a single one. */
  readonly volumes: number;
}

/** Bytes that are enough to read either header. */
export const NIFTI_HEADER_BYTES = 540;

/** Largest size along an axis that is believed. */
const MAX_SIZE = 100_000;

/** Values of `xyzt_units` for lengths, and what makes mm of them. */
const TO_MM: Readonly<Record<number, number>> = { 0: 1, 1: 1000, 2: 1, 3: 0.001 };

/** Reads a header; undefined when the bytes are not one. */
export function parseNiftiHeader(bytes: Uint8Array): NiftiHeader | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (const littleEndian of [true, false]) {
    if (view.byteLength >= 348 && view.getInt32(0, littleEndian) === 348) {
      return header(
        i => view.getInt16(40 + 2 * i, littleEndian),
        i => view.getFloat32(76 + 4 * i, littleEndian),
        view.getUint8(123),
      );
    }
    if (view.byteLength >= 540 && view.getInt32(0, littleEndian) === 540) {
      return header(
        i => Number(view.getBigInt64(16 + 8 * i, littleEndian)),
        i => view.getFloat64(104 + 8 * i, littleEndian),
        view.getInt32(500, littleEndian),
      );
    }
  }
  return undefined;
}

function header(
  dim: (i: number) => number,
  pixdim: (i: number) => number,
  units: number,
): NiftiHeader | undefined {
  const dimensions = dim(0);
  if (dimensions < 3 || dimensions > 7) return undefined;
  const size = [dim(1), dim(2), dim(3)] as const;
  const volumes = dimensions > 3 ? dim(4) : 1;
  const toMm = TO_MM[units & 7] ?? 1;
  const mm = (i: number): number => Math.abs(pixdim(i)) * toMm;
  const voxelMm = [mm(1), mm(2), mm(3)] as const;
  const counts = [...size, volumes].every(n => Number.isInteger(n) && n >= 1 && n <= MAX_SIZE);
  const lengths = voxelMm.every(length => length > 0 && length < 1000);
  return counts && lengths ? { size, voxelMm, volumes } : undefined;
}
