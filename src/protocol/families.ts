/**
 * The sequence families: which fields each understands, and its rules.
 *
 * @module
 */
import { arterialSpinLabelling } from './families/arterial-spin-labelling.js';
import { balancedSteadyState } from './families/balanced-steady-state.js';
import { diffusionEchoPlanar } from './families/diffusion-echo-planar.js';
import { echoPlanar, fieldMapEchoPlanar, spinEchoEchoPlanar } from './families/echo-planar.js';
import { pause, preScan, tableMotion } from './families/events.js';
import type { Family } from './families/family.js';
import { fieldMapGradientEcho } from './families/field-map-gradient-echo.js';
import { gradientEcho2d } from './families/gradient-echo-2d.js';
import { gradientEcho3d } from './families/gradient-echo-3d.js';
import { inversionGradientEcho3d } from './families/inversion-gradient-echo-3d.js';
import { localiser } from './families/localiser.js';
import { radialGradientEcho } from './families/radial-gradient-echo.js';
import { spectroscopy } from './families/spectroscopy.js';
import { spinEcho2d } from './families/spin-echo-2d.js';
import { spiral } from './families/spiral.js';
import { turboSpinEcho2d } from './families/turbo-spin-echo-2d.js';
import { turboSpinEcho3d } from './families/turbo-spin-echo-3d.js';
import { zeroEchoTime } from './families/zero-echo-time.js';
import type { FieldName } from './fields.js';
import type { ScanType } from './scan.js';

export const FAMILIES: Readonly<Record<ScanType, Family>> = {
  localiser,
  'gradient-echo-2d': gradientEcho2d,
  'gradient-echo-3d': gradientEcho3d,
  'balanced-steady-state': balancedSteadyState,
  spiral,
  'radial-gradient-echo': radialGradientEcho,
  'zero-echo-time': zeroEchoTime,
  'inversion-gradient-echo-3d': inversionGradientEcho3d,
  'turbo-spin-echo-3d': turboSpinEcho3d,
  'turbo-spin-echo-2d': turboSpinEcho2d,
  'spin-echo-2d': spinEcho2d,
  'echo-planar': echoPlanar,
  'spin-echo-echo-planar': spinEchoEchoPlanar,
  'diffusion-echo-planar': diffusionEchoPlanar,
  'field-map-gradient-echo': fieldMapGradientEcho,
  'field-map-echo-planar': fieldMapEchoPlanar,
  'arterial-spin-labelling': arterialSpinLabelling,
  spectroscopy,
  'pre-scan': preScan,
  'table-motion': tableMotion,
  pause,
};

/** The fields that may stand in a scan of each type. */
export const FAMILY_FIELDS = Object.fromEntries(
  Object.entries(FAMILIES).map(([type, { fields }]) => [type, fields]),
) as Readonly<Record<ScanType, readonly FieldName[]>>;
