/**
 * Spiral: after each excitation one spiral through k-space, from its middle outward and back; the next
 * is turned by a part of a circle.
 *
 * Heard: a quick downward chirp for every excitation, so fast in a row that they make a rasping hum.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import type { BlockBuilder } from './block-builder.js';
import {
  addSelection,
  halfSelectionSeconds,
  rephasingLobe,
  type SelectivePulse,
} from './excitation.js';
import { scanGeometry } from './geometry.js';
import { formatTime, fullLimits, type GradientLimits, UnplayableError } from './hardware.js';
import { type Lobe, lobeDurationSeconds, strongestLobe } from './lobes.js';
import { playMostSlices, sliceRhythm } from './slices-in-turn.js';
import { encodingArea } from './physics.js';
import { turning } from './repetitions.js';
import { type SpiralTrajectory, spiralTrajectory } from './spiral-trajectory.js';
import type { Line, PlayedScan } from './timeline.js';

/** Slice-selective pulse: length in s, at most that share of the time between excitations, and time-bandwidth product. Common practice, no source. */
const PULSE = { durationSeconds: 0.0025, share: 0.15, timeBandwidth: 2.7 };

/**
 * Spirals keep below these limits, in mT/m and T/m/s, for the nerves' sake: those of the scanner of a
 * public data set of spiral speech imaging (from memory).
 */
const SPIRAL_LIMITS: GradientLimits = { amplitude: 40, slewRate: 150 };

/** Area of the spoiler after the spiral, in turns of phase over the slice. Common practice, no source. */
const SPOILER_TURNS = 2;

/** One excitation laid out; times in s from its start. */
interface SpiralEcho {
  readonly pulse: SelectivePulse;
  readonly rephaser: Lobe;
  readonly trajectory: SpiralTrajectory;
  readonly spiralStartSeconds: number;
  readonly spoiler: Lobe;
}

export function playSpiral(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = spiralLimits(scanner);
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const interleaves = numberField(scan, 'NumberShots');
  const trajectory = spiralOf(scan, limits);
  return playMostSlices(scan, scanner, slices => {
    const excitationSeconds = repetitionSeconds / slices;
    const echo = layOut(scan, trajectory, excitationSeconds, limits);
    const starts = Array.from({ length: slices }, (_, slice) => slice * excitationSeconds);
    const segments = turning(
      {
        count: Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionSeconds)),
        durationSeconds: repetitionSeconds,
        geometry: scanGeometry(scan),
        draw: (builder, startSeconds) => {
          for (const sliceSeconds of starts)
            drawSlice(builder, echo, startSeconds + sliceSeconds, limits);
        },
      },
      (2 * Math.PI) / interleaves,
      (builder, startSeconds, angleRad) => {
        for (const sliceSeconds of starts) {
          drawSpiral(
            builder,
            trajectory,
            startSeconds + sliceSeconds + echo.spiralStartSeconds,
            angleRad,
          );
        }
      },
    );
    const rhythm = sliceRhythm(repetitionSeconds, slices, 'interleaves');
    const chirpEnd = {
      hertz: trajectory.lastTurnHz,
      cause: `readout, end of the chirp after ${formatTime(trajectory.readoutSeconds)}`,
    };
    return {
      timeline: { segments },
      tones: [rhythm[0]!, chirpEnd],
      rhythm,
      ...combOf(repetitionSeconds, interleaves),
    };
  });
}

/** Slowest rate in Hz whose multiples an ear can tell from those of the excitations. Common practice, no source. */
const SLOWEST_COMB_HZ = 3;

/** Only after all interleaves does the sound repeat; of few, that shifts its lines by a tone. */
function combOf(repetitionSeconds: number, interleaves: number): { readonly comb?: Line } {
  const hertz = 1 / (interleaves * repetitionSeconds);
  if (interleaves === 1 || hertz < SLOWEST_COMB_HZ) return {};
  return { comb: { hertz, cause: `images, ${interleaves} interleaves each` } };
}

function spiralLimits(scanner: Scanner): GradientLimits {
  const { amplitude, slewRate } = fullLimits(scanner);
  return {
    amplitude: Math.min(amplitude, SPIRAL_LIMITS.amplitude),
    slewRate: Math.min(slewRate, SPIRAL_LIMITS.slewRate),
  };
}

function spiralOf(scan: Scan, limits: GradientLimits): SpiralTrajectory {
  const [voxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  return spiralTrajectory(
    {
      fieldOfViewMm: numberField(scan, 'BaseResolution') * voxelMm!,
      voxelMm: voxelMm!,
      interleaves: numberField(scan, 'NumberShots'),
    },
    limits,
  );
}

/** @throws {UnplayableError} The excitation does not fit into its time or before its echo time. */
function layOut(
  scan: Scan,
  trajectory: SpiralTrajectory,
  excitationSeconds: number,
  limits: GradientLimits,
): SpiralEcho {
  const thicknessMm = numberField(scan, 'SliceThickness');
  const echoTimeSeconds = numberField(scan, 'EchoTime');
  const durationSeconds = Math.min(PULSE.durationSeconds, PULSE.share * excitationSeconds);
  const pulse = { durationSeconds, timeBandwidth: PULSE.timeBandwidth, thicknessMm };
  const rephaser = rephasingLobe(pulse, limits);
  const halfPulseSeconds = halfSelectionSeconds(pulse, limits);
  const shortestEchoTimeSeconds = halfPulseSeconds + lobeDurationSeconds(rephaser);
  if (echoTimeSeconds < shortestEchoTimeSeconds) {
    throw new UnplayableError(
      'EchoTime',
      `echo time ${formatTime(echoTimeSeconds)} leaves no room for pulse and rephasing before the spiral starts`,
      `at least ${formatTime(shortestEchoTimeSeconds)}`,
      'Check EchoTime and SliceThickness.',
    );
  }
  const spiralStartSeconds = halfPulseSeconds + echoTimeSeconds;
  const roomSeconds = excitationSeconds - spiralStartSeconds - trajectory.durationSeconds;
  if (roomSeconds <= 0) {
    throw new UnplayableError(
      'RepetitionTime',
      `a spiral of ${formatTime(trajectory.durationSeconds)} after an echo time of ${formatTime(echoTimeSeconds)} does not fit into ${formatTime(excitationSeconds)}`,
      `at least ${formatTime(excitationSeconds - roomSeconds)}, or more interleaves (NumberShots)`,
      'Check RepetitionTime, EchoTime, NumberShots, BaseResolution and AcquisitionVoxelSize.',
    );
  }
  const spoiler = strongestLobe(SPOILER_TURNS * encodingArea(thicknessMm), roomSeconds, limits);
  return { pulse, rephaser, trajectory, spiralStartSeconds, spoiler };
}

/** What lies on the slice axis: selection, rephasing, spoiler. */
function drawSlice(
  builder: BlockBuilder,
  echo: SpiralEcho,
  startSeconds: number,
  limits: GradientLimits,
): void {
  const { pulse, rephaser, trajectory, spiralStartSeconds, spoiler } = echo;
  const selectedSeconds = addSelection(
    builder,
    pulse,
    startSeconds + halfSelectionSeconds(pulse, limits),
    limits,
  );
  builder.add('slice', rephaser, selectedSeconds);
  builder.add('slice', spoiler, startSeconds + spiralStartSeconds + trajectory.durationSeconds);
}

/** The spiral turned from the read axis to the phase axis by an angle. */
function drawSpiral(
  builder: BlockBuilder,
  { along, across }: SpiralTrajectory,
  startSeconds: number,
  angleRad: number,
): void {
  const [cos, sin] = [Math.cos(angleRad), Math.sin(angleRad)];
  const add = (axis: 'read' | 'phase', alongWeight: number, acrossWeight: number): void => {
    const amplitudes = along.amplitudes.map(
      (amplitude, i) => alongWeight * amplitude + acrossWeight * across.amplitudes[i]!,
    );
    builder.addWaveform(axis, { timesSeconds: along.timesSeconds, amplitudes }, startSeconds);
  };
  add('read', cos, -sin);
  add('phase', sin, cos);
}
