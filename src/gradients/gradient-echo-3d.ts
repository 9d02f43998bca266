/**
 * Spoiled 3D gradient echo, with one or many echoes (susceptibility imaging): partitions in the inner
 * loop, lines in the outer one.
 *
 * Heard: a steady hum at the excitation rate, deep like a motor where the repetition time is long.
 *
 * @module
 */
import { numberField, type Scan, type Scanner } from '../protocol/scan.js';
import { scanGeometry } from './geometry.js';
import {
  drawGradientEcho,
  drawPhaseEncoding,
  encodingShare,
  type GradientEcho,
} from './gradient-echo.js';
import { formatTime } from './hardware.js';
import { imageLines } from './image-lines.js';
import { phaseEncoded } from './repetitions.js';
import { layOutSlabEcho } from './slab-echo.js';
import type { PlayedScan } from './timeline.js';

export const playGradientEcho3d = (scan: Scan, scanner: Scanner): PlayedScan =>
  playPartitions(scan, layOutSlabEcho(scan, scanner, 'RepetitionTime'));

/** An excitation of a slab, repeated for every partition of every line of every image. */
export function playPartitions(scan: Scan, echo: GradientEcho): PlayedScan {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const partitions = numberField(scan, 'NumberOfSlices');
  const lineSeconds = partitions * repetitionSeconds;
  const { images, lines } = imageLines(scan, lineSeconds);
  const forPartitions = (draw: (startSeconds: number, partition: number) => void): void => {
    for (let i = 0; i < partitions; i++) draw(i * repetitionSeconds, encodingShare(i, partitions));
  };
  const segments = phaseEncoded(
    {
      count: lines,
      durationSeconds: lineSeconds,
      geometry: scanGeometry(scan),
      draw: (builder, startSeconds) => {
        forPartitions((inLineSeconds, partition) => {
          drawGradientEcho(builder, echo, startSeconds + inLineSeconds, { phase: 0, partition });
        });
      },
    },
    (builder, startSeconds, share) => {
      forPartitions(inLineSeconds => {
        drawPhaseEncoding(builder, echo, startSeconds + inLineSeconds, share);
      });
    },
  );
  const rate = {
    hertz: 1 / repetitionSeconds,
    cause: `excitations, 1/${formatTime(repetitionSeconds)}`,
  };
  return {
    timeline: { segments: Array.from({ length: images }, () => segments).flat() },
    tones: [rate],
    rhythm: [rate, { hertz: 1 / lineSeconds, cause: `lines, ${partitions} partitions each` }],
  };
}
