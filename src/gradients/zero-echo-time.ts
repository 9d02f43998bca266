/**
 * Zero echo time: the gradient is on all the time; a pulse too short to be selective is followed at
 * once by a spoke from the middle of k-space outward. From spoke to spoke the gradient only turns a
 * little, along a path that winds over a sphere from pole to pole.
 *
 * Heard: next to nothing, a faint hiss at the spoke rate and its multiples.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { formatTime, type GradientLimits, normalLimits, UnplayableError } from './hardware.js';
import { encodingArea } from './physics.js';
import type { Layer, PlayedScan, Segment, Waveform } from './timeline.js';

/** The pulse, and the dead time after it, in s. Common practice, no source. */
const PULSE_SECONDS = 0.00002;

/** The gradient takes at most this long to turn, in s. Common practice, no source. */
const LONGEST_TURN_SECONDS = 0.0002;

export function playZeroEchoTime(scan: Scan, scanner: Scanner): PlayedScan {
  const spokeSeconds = numberField(scan, 'RepetitionTime');
  const spokes = numberField(scan, 'NumberShots');
  // As far from spoke to spoke as from turn to turn: each has 4 pi / spokes of the sphere.
  const spokesPerTurn = Math.max(4, Math.round(Math.sqrt(Math.PI * spokes)));
  const turnSeconds = spokesPerTurn * spokeSeconds;
  const turns = Math.max(1, Math.round(numberField(scan, 'Duration') / turnSeconds));
  const { amplitude, stepSeconds } = layOut(scan, spokesPerTurn, normalLimits(scanner));
  const path = (at: (spoke: number, share: number) => number): Waveform =>
    stepped(spokesPerTurn, spokeSeconds, stepSeconds, i => amplitude * at(i, i / spokesPerTurn));
  const angle = (2 * Math.PI) / spokesPerTurn;
  // Height above the equator and distance from the axis change evenly over a turn: what they are at
  // its start, and what they gain, are layers of their own.
  const height = { z: path(() => 1) };
  const rise = { z: path((_, share) => share) };
  const circle = { x: path(i => Math.cos(angle * i)), y: path(i => Math.sin(angle * i)) };
  const widening = {
    x: path((i, share) => share * Math.cos(angle * i)),
    y: path((i, share) => share * Math.sin(angle * i)),
  };
  const segments = Array.from({ length: turns }, (_, turn): Segment => {
    const [from, to] = [onSphere(turn / turns), onSphere((turn + 1) / turns)];
    const layers: readonly Layer[] = [
      { block: height, gain: from.height },
      { block: rise, gain: to.height - from.height },
      { block: circle, gain: from.width },
      { block: widening, gain: to.width - from.width },
    ];
    return { durationSeconds: turnSeconds, repeats: 1, layers };
  });
  const rate = { hertz: 1 / spokeSeconds, cause: `spokes, 1/${formatTime(spokeSeconds)}` };
  return {
    timeline: { segments },
    tones: [rate],
    rhythm: [rate, { hertz: 1 / turnSeconds, cause: `turns, ${spokesPerTurn} spokes each` }],
  };
}

/** Where the path is after a share of it: it passes through equal areas of the sphere in equal times. */
function onSphere(share: number): { readonly height: number; readonly width: number } {
  const height = 1 - 2 * share;
  return { height, width: Math.sqrt(1 - height ** 2) };
}

/**
 * The gradient in mT/m, and how long it takes to turn from spoke to spoke in s.
 *
 * @throws {UnplayableError} Too strong a gradient, or no time to turn it.
 */
function layOut(
  scan: Scan,
  spokesPerTurn: number,
  limits: GradientLimits,
): { readonly amplitude: number; readonly stepSeconds: number } {
  const spokeSeconds = numberField(scan, 'RepetitionTime');
  const bandwidthHz = numberField(scan, 'PixelBandwidth');
  const [voxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const amplitude = encodingArea(voxelMm!) * bandwidthHz;
  // A spoke is half of a line.
  const readoutSeconds = 0.5 / bandwidthHz;
  const stepSeconds = Math.min(LONGEST_TURN_SECONDS, spokeSeconds - PULSE_SECONDS - readoutSeconds);
  const shortestSeconds = (amplitude * 2 * Math.PI) / spokesPerTurn / (limits.slewRate * 1e3);
  if (amplitude > limits.amplitude) {
    throw new UnplayableError(
      'PixelBandwidth',
      `${bandwidthHz} Hz per pixel of ${voxelMm!} mm needs a gradient of ${amplitude.toFixed(1)} mT/m all the time`,
      `at most ${limits.amplitude} mT/m`,
      'Check PixelBandwidth and AcquisitionVoxelSize.',
    );
  }
  if (stepSeconds < shortestSeconds) {
    throw new UnplayableError(
      'RepetitionTime',
      `a spoke of ${formatTime(readoutSeconds)} leaves no time in ${formatTime(spokeSeconds)} to turn the gradient`,
      `at least ${formatTime(PULSE_SECONDS + readoutSeconds + shortestSeconds)}`,
      'Check RepetitionTime and PixelBandwidth.',
    );
  }
  return { amplitude, stepSeconds };
}

/** Holds the value of each spoke, and goes to the next in the last `stepSeconds` of its time. */
function stepped(
  spokes: number,
  spokeSeconds: number,
  stepSeconds: number,
  valueAt: (spoke: number) => number,
): Waveform {
  const timesSeconds = new Float64Array(2 * spokes + 1);
  const amplitudes = new Float64Array(2 * spokes + 1);
  for (let i = 0; i < spokes; i++) {
    timesSeconds[2 * i] = i * spokeSeconds;
    timesSeconds[2 * i + 1] = (i + 1) * spokeSeconds - stepSeconds;
    amplitudes[2 * i] = amplitudes[2 * i + 1] = valueAt(i);
  }
  timesSeconds[2 * spokes] = spokes * spokeSeconds;
  amplitudes[2 * spokes] = valueAt(spokes);
  return { timesSeconds, amplitudes };
}
