/**
 * Dual-echo gradient-echo field map: 2D slices in turn, two echoes after each excitation; once for
 * every phase-encoding line. Where repetitions are too short for that, the slices are partitions of a
 * slab: a 3D field map.
 *
 * Heard: an even, quick knocking at the slice rate; of a 3D one, a hum at the excitation rate.
 *
 * @module
 */
import { LONGEST_SLAB_REPETITION_SECONDS } from '../protocol/families/field-map-gradient-echo.js';
import { numberField, type Scan, type Scanner } from '../protocol/scan.js';
import { layOutSlice, playSlices } from './gradient-echo-2d.js';
import { playPartitions } from './gradient-echo-3d.js';
import type { GradientEcho } from './gradient-echo.js';
import { type GradientLimits, UnplayableError } from './hardware.js';
import { layOutSlabEcho } from './slab-echo.js';
import { playMostSlices } from './slices-in-turn.js';
import type { PlayedScan } from './timeline.js';

export function playFieldMapGradientEcho(scan: Scan, scanner: Scanner): PlayedScan {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  if (
    numberField(scan, 'NumberOfSlices') > 1 &&
    repetitionSeconds < LONGEST_SLAB_REPETITION_SECONDS
  )
    return playSlab(scan, scanner);
  return playMostSlices(scan, scanner, (slices, limits) => {
    const excitations = excitationsPerSlice(scan, repetitionSeconds / slices, limits);
    return playSlices(scan, Array.from({ length: slices }, () => excitations).flat());
  });
}

/**
 * A field map of a slab.
 *
 * @throws {UnplayableError} Not both echoes fit into a repetition.
 */
function playSlab(scan: Scan, scanner: Scanner): PlayedScan {
  const timesSeconds = [numberField(scan, 'EchoTime1'), numberField(scan, 'EchoTime2')];
  const echoes = { timesSeconds, field: 'EchoTime1' } as const;
  return playPartitions(scan, layOutSlabEcho(scan, scanner, 'RepetitionTime', echoes));
}

/**
 * Both echoes after one excitation where the readouts fit between the echo times; else one echo per
 * excitation, the two echo times taking turns.
 */
function excitationsPerSlice(
  scan: Scan,
  perSliceSeconds: number,
  limits: GradientLimits,
): readonly GradientEcho[] {
  const echoTimesSeconds = [numberField(scan, 'EchoTime1'), numberField(scan, 'EchoTime2')];
  try {
    return [layOutSlice(scan, 'EchoTime1', echoTimesSeconds, perSliceSeconds, limits)];
  } catch (error) {
    if (!(error instanceof UnplayableError)) throw error;
    return echoTimesSeconds.map(echoTimeSeconds =>
      layOutSlice(scan, 'EchoTime1', [echoTimeSeconds], perSliceSeconds / 2, limits),
    );
  }
}
