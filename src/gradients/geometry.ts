/**
 * From the axes of an image (read, phase, slice) to the axes of the magnet (x, y, z).
 *
 * The response of a scanner differs per physical axis, so the same scan sounds different in another
 * plane. Axes are those of a patient lying on the back, head first: x left-right, y front-back, z
 * head-foot.
 *
 * @module
 */
import type { Scan } from '../protocol/scan.js';
import { UnplayableError } from './hardware.js';
import { AXES, type Axis } from './timeline.js';

export const LOGICAL_AXES = ['read', 'phase', 'slice'] as const;
export type LogicalAxis = (typeof LOGICAL_AXES)[number];

/**
 * Weight of each logical axis on each physical one; the columns are unit vectors. Limits of the
 * hardware are kept per logical axis, as scanners keep them for protocols of any angle.
 */
export type Geometry = Readonly<Record<Axis, Readonly<Record<LogicalAxis, number>>>>;

/** Physical axis of image row (`i`), image column (`j`) and slice direction (`k`) per plane. */
const PLANES: Readonly<Record<string, readonly [i: Axis, j: Axis, k: Axis]>> = {
  axial: ['x', 'y', 'z'],
  coronal: ['x', 'z', 'y'],
  sagittal: ['y', 'z', 'x'],
};

/** A geometry from the physical axis that each logical one lies on. */
export function geometryOf(read: Axis, phase: Axis, slice: Axis): Geometry {
  const on = (logical: Axis, axis: Axis): number => (logical === axis ? 1 : 0);
  return Object.fromEntries(
    AXES.map(axis => [
      axis,
      { read: on(read, axis), phase: on(phase, axis), slice: on(slice, axis) },
    ]),
  ) as unknown as Geometry;
}

/**
 * The geometry of a scan: from its direction cosines where it has them (any angle), else from its
 * plane; rows and columns change places with the phase-encoding direction.
 */
export function scanGeometry(scan: Scan): Geometry {
  const cosines = scan.fields.ImageOrientationPatientDICOM?.value;
  const direction = scan.fields.PhaseEncodingDirection?.value;
  const phaseOnRows = typeof direction === 'string' && direction.startsWith('i');
  if (Array.isArray(cosines)) return obliqueGeometry(cosines as readonly number[], phaseOnRows);
  const plane = scan.fields.SliceOrientation?.value;
  const [i, j, k] = PLANES[typeof plane === 'string' ? plane : 'axial']!;
  return phaseOnRows ? geometryOf(j, i, k) : geometryOf(i, j, k);
}

/** How far cosines may be from two perpendicular unit vectors: the rounding of headers. */
const COSINE_ERROR = 0.02;

/** @throws {UnplayableError} The cosines are not two perpendicular unit vectors. */
function obliqueGeometry(cosines: readonly number[], phaseOnRows: boolean): Geometry {
  const row = cosines.slice(0, 3);
  const column = cosines.slice(3, 6);
  const across = row.reduce((sum, x, axis) => sum + x * column[axis]!, 0);
  const lengths = [Math.hypot(...row), Math.hypot(...column)];
  if (
    Math.abs(across) > COSINE_ERROR ||
    lengths.some(length => Math.abs(length - 1) > COSINE_ERROR)
  ) {
    throw new UnplayableError(
      'ImageOrientationPatientDICOM',
      `rows and columns [${cosines.join(', ')}] of lengths ${lengths.map(l => l.toFixed(3)).join(' and ')}, ${across.toFixed(3)} along one another`,
      'two unit vectors at a right angle',
      'Copy the six numbers from the image header, or give SliceOrientation instead.',
    );
  }
  const normal = AXES.map((_, axis) => {
    const [next, last] = [(axis + 1) % 3, (axis + 2) % 3];
    return row[next]! * column[last]! - row[last]! * column[next]!;
  });
  const [read, phase] = phaseOnRows ? [column, row] : [row, column];
  return Object.fromEntries(
    AXES.map((axis, i) => [axis, { read: read[i]!, phase: phase[i]!, slice: normal[i]! }]),
  ) as unknown as Geometry;
}
