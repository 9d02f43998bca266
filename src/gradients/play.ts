/**
 * A scan played: from its fields to its gradient timeline, by its family.
 *
 * @module
 */
import type { PulseqSequence } from '../formats/pulseq/sequence.js';
import { PULSEQ, type Scan, type Scanner, type ScanType } from '../protocol/scan.js';
import { playArterialSpinLabelling } from './arterial-spin-labelling.js';
import { playBalancedSteadyState } from './balanced-steady-state.js';
import { playDiffusionEchoPlanar } from './diffusion-echo-planar.js';
import { playEchoPlanar } from './echo-planar.js';
import { playFieldMapGradientEcho } from './field-map-gradient-echo.js';
import { playGradientEcho2d } from './gradient-echo-2d.js';
import { playGradientEcho3d } from './gradient-echo-3d.js';
import { playInversionGradientEcho3d } from './inversion-gradient-echo-3d.js';
import { playLocaliser } from './localiser.js';
import { playPreScan } from './pre-scan.js';
import { playPulseq } from './pulseq-scan.js';
import { playRadialGradientEcho } from './radial-gradient-echo.js';
import { playPause, playTableMotion } from './silence.js';
import { playSpectroscopy } from './spectroscopy.js';
import { playSpinEcho2d } from './spin-echo-2d.js';
import { playSpinEchoEchoPlanar } from './spin-echo-echo-planar.js';
import { playSpiral } from './spiral.js';
import type { PlayedScan } from './timeline.js';
import { playTurboSpinEcho2d } from './turbo-spin-echo-2d.js';
import { playTurboSpinEcho3d } from './turbo-spin-echo-3d.js';
import { playZeroEchoTime } from './zero-echo-time.js';

const FAMILIES: Readonly<Record<ScanType, (scan: Scan, scanner: Scanner) => PlayedScan>> = {
  localiser: playLocaliser,
  'gradient-echo-2d': playGradientEcho2d,
  'gradient-echo-3d': playGradientEcho3d,
  'balanced-steady-state': playBalancedSteadyState,
  spiral: playSpiral,
  'radial-gradient-echo': playRadialGradientEcho,
  'zero-echo-time': playZeroEchoTime,
  'inversion-gradient-echo-3d': playInversionGradientEcho3d,
  'turbo-spin-echo-3d': playTurboSpinEcho3d,
  'turbo-spin-echo-2d': playTurboSpinEcho2d,
  'spin-echo-2d': playSpinEcho2d,
  'echo-planar': playEchoPlanar,
  'spin-echo-echo-planar': playSpinEchoEchoPlanar,
  'diffusion-echo-planar': playDiffusionEchoPlanar,
  'field-map-gradient-echo': playFieldMapGradientEcho,
  'field-map-echo-planar': playSpinEchoEchoPlanar,
  'arterial-spin-labelling': playArterialSpinLabelling,
  spectroscopy: playSpectroscopy,
  'pre-scan': playPreScan,
  'table-motion': playTableMotion,
  pause: playPause,
};

/**
 * The gradient timeline of a scan, and the lines that its sound must show.
 *
 * @param sequence - What a scan of type `pulseq` is played from.
 * @throws {UnplayableError} The scanner cannot play it, or its times do not fit together.
 * @throws {RangeError} A scan of type `pulseq` comes without its sequence: a fault of the caller.
 */
export function playScan(scan: Scan, scanner: Scanner, sequence?: PulseqSequence): PlayedScan {
  if (scan.type !== PULSEQ) return FAMILIES[scan.type](scan, scanner);
  if (sequence === undefined) throw new RangeError(`scan ${scan.name} comes without its sequence`);
  return playPulseq(sequence);
}
