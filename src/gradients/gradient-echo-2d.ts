/**
 * Spoiled 2D gradient echo, with one or many echoes: slices in turn, as many as fit into a repetition
 * time, over and over, the phase encoding one step further each time.
 *
 * Heard: an even knocking, or a buzz, at the excitation rate.
 *
 * @module
 */
import type { FieldName } from '../protocol/fields.js';
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { scanGeometry } from './geometry.js';
import {
  drawGradientEcho,
  drawPhaseEncoding,
  echoField,
  type GradientEcho,
  layOutGradientEcho,
} from './gradient-echo.js';
import type { GradientLimits } from './hardware.js';
import { imageLines } from './image-lines.js';
import { playMostSlices, sliceRhythm } from './slices-in-turn.js';
import { phaseEncoded } from './repetitions.js';
import type { PlayedScan } from './timeline.js';

/**
 * Slice-selective pulse: length in s, at most that share of the time between excitations, and
 * time-bandwidth product. Common practice, no source.
 */
const PULSE = { durationSeconds: 0.0025, share: 0.2, timeBandwidth: 2.7 };

export function playGradientEcho2d(scan: Scan, scanner: Scanner): PlayedScan {
  const echoTimesSeconds = numbersField(scan, 'EchoTimes');
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  return playMostSlices(scan, scanner, (slices, limits) => {
    const echo = layOutSlice(
      scan,
      echoField(scan),
      echoTimesSeconds,
      repetitionSeconds / slices,
      limits,
    );
    return playSlices(
      scan,
      Array.from({ length: slices }, () => echo),
    );
  });
}

/**
 * One slice's excitation laid out.
 *
 * @param echoField - The field that the echo times are from.
 * @throws {UnplayableError} It does not fit.
 */
export function layOutSlice(
  scan: Scan,
  echoField: FieldName,
  echoTimesSeconds: readonly number[],
  repetitionSeconds: number,
  limits: GradientLimits,
): GradientEcho {
  const [readVoxelMm, phaseVoxelMm, thicknessMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const durationSeconds = Math.min(PULSE.durationSeconds, PULSE.share * repetitionSeconds);
  return layOutGradientEcho(
    {
      pulse: { durationSeconds, timeBandwidth: PULSE.timeBandwidth, thicknessMm: thicknessMm! },
      echoTimesSeconds,
      repetitionSeconds,
      pixelBandwidthHz: numberField(scan, 'PixelBandwidth'),
      readVoxelMm: readVoxelMm!,
      phaseVoxelMm: phaseVoxelMm!,
      repetitionField: 'RepetitionTime',
      echoField,
    },
    limits,
  );
}

/** Excitations that share a repetition time evenly, repeated for every line of every image. */
export function playSlices(scan: Scan, excitations: readonly GradientEcho[]): PlayedScan {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const excitationSeconds = repetitionSeconds / excitations.length;
  const { images, lines } = imageLines(scan, repetitionSeconds);
  const segments = phaseEncoded(
    {
      count: lines,
      durationSeconds: repetitionSeconds,
      geometry: scanGeometry(scan),
      draw: (builder, startSeconds) => {
        excitations.forEach((echo, i) => {
          drawGradientEcho(builder, echo, startSeconds + i * excitationSeconds, {
            phase: 0,
            partition: 0,
          });
        });
      },
    },
    (builder, startSeconds, share) => {
      excitations.forEach((echo, i) => {
        drawPhaseEncoding(builder, echo, startSeconds + i * excitationSeconds, share);
      });
    },
  );
  const rhythm = sliceRhythm(repetitionSeconds, excitations.length, 'lines');
  return {
    timeline: { segments: Array.from({ length: images }, () => segments).flat() },
    tones: [rhythm[0]!],
    rhythm,
  };
}
