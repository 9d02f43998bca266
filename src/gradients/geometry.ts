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
import { AXES, type Axis } from './timeline.js';

export const LOGICAL_AXES = ['read', 'phase', 'slice'] as const;
export type LogicalAxis = (typeof LOGICAL_AXES)[number];

/** Weight of each logical axis on each physical one; the columns are unit vectors. */
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

/** The geometry of a scan from its plane and its phase-encoding direction. */
export function scanGeometry(scan: Scan): Geometry {
  const plane = scan.fields.SliceOrientation?.value;
  const direction = scan.fields.PhaseEncodingDirection?.value;
  const [i, j, k] = PLANES[typeof plane === 'string' ? plane : 'axial']!;
  return typeof direction === 'string' && direction.startsWith('i')
    ? geometryOf(j, i, k)
    : geometryOf(i, j, k);
}
