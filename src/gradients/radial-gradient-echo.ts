/**
 * Radial gradient echo: every excitation reads a spoke through the middle of k-space, each turned a
 * little against the one before.
 *
 * Heard: a hum at the excitation rate, whose colour changes as the spokes turn.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { scanGeometry } from './geometry.js';
import { layOutSlice } from './gradient-echo-2d.js';
import { drawReadouts, drawSlice, echoField } from './gradient-echo.js';
import { playMostSlices, sliceRhythm } from './slices-in-turn.js';
import { turning } from './repetitions.js';
import type { PlayedScan } from './timeline.js';

export function playRadialGradientEcho(scan: Scan, scanner: Scanner): PlayedScan {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const spokes = numberField(scan, 'NumberShots');
  return playMostSlices(scan, scanner, (slices, limits) => {
    const excitationSeconds = repetitionSeconds / slices;
    const echo = layOutSlice(
      scan,
      echoField(scan),
      numbersField(scan, 'EchoTimes'),
      excitationSeconds,
      limits,
    );
    const starts = Array.from({ length: slices }, (_, slice) => slice * excitationSeconds);
    const segments = turning(
      {
        count: Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionSeconds)),
        durationSeconds: repetitionSeconds,
        geometry: scanGeometry(scan),
        draw: (builder, startSeconds) => {
          for (const sliceSeconds of starts)
            drawSlice(builder, echo, startSeconds + sliceSeconds, 0);
        },
      },
      // A spoke is read through the middle, so half a turn holds them all.
      Math.PI / spokes,
      (builder, startSeconds, angleRad) => {
        for (const sliceSeconds of starts)
          drawReadouts(builder, echo, startSeconds + sliceSeconds, angleRad);
      },
    );
    const rhythm = sliceRhythm(repetitionSeconds, slices, 'spokes');
    return { timeline: { segments }, tones: [rhythm[0]!], rhythm };
  });
}
