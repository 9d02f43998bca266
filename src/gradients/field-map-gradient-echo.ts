/**
 * Dual-echo gradient-echo field map: 2D slices in turn, two echoes after each excitation; once for
 * every phase-encoding line.
 *
 * Heard: an even, quick knocking at the slice rate.
 *
 * @module
 */
import { numberField, type Scan, type Scanner } from '../protocol/scan.js';
import { layOutSlice, playSlices } from './gradient-echo-2d.js';
import type { GradientEcho } from './gradient-echo.js';
import { type GradientLimits, UnplayableError } from './hardware.js';
import { playMostSlices } from './slices-in-turn.js';
import type { PlayedScan } from './timeline.js';

export function playFieldMapGradientEcho(scan: Scan, scanner: Scanner): PlayedScan {
  const repetitionS = numberField(scan, 'RepetitionTime');
  return playMostSlices(scan, scanner, (slices, limits) => {
    const excitations = excitationsPerSlice(scan, repetitionS / slices, limits);
    return playSlices(scan, Array.from({ length: slices }, () => excitations).flat());
  });
}

/**
 * Both echoes after one excitation where the readouts fit between the echo times; else one echo per
 * excitation, the two echo times taking turns.
 */
function excitationsPerSlice(
  scan: Scan,
  perSliceS: number,
  limits: GradientLimits,
): readonly GradientEcho[] {
  const echoTimesS = [numberField(scan, 'EchoTime1'), numberField(scan, 'EchoTime2')];
  try {
    return [layOutSlice(scan, 'EchoTime1', echoTimesS, perSliceS, limits)];
  } catch (error) {
    if (!(error instanceof UnplayableError)) throw error;
    return echoTimesS.map(echoTimeS =>
      layOutSlice(scan, 'EchoTime1', [echoTimeS], perSliceS / 2, limits),
    );
  }
}
