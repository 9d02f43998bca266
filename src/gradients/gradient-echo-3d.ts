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
  const repetitionS = numberField(scan, 'RepetitionTime');
  const partitions = numberField(scan, 'NumberOfSlices');
  const lineS = partitions * repetitionS;
  const { images, lines } = imageLines(scan, lineS);
  const forPartitions = (draw: (startS: number, partition: number) => void): void => {
    for (let i = 0; i < partitions; i++) draw(i * repetitionS, encodingShare(i, partitions));
  };
  const segments = phaseEncoded(
    {
      count: lines,
      durationS: lineS,
      geometry: scanGeometry(scan),
      draw: (builder, startS) => {
        forPartitions((inLineS, partition) => {
          drawGradientEcho(builder, echo, startS + inLineS, { phase: 0, partition });
        });
      },
    },
    (builder, startS, share) => {
      forPartitions(inLineS => {
        drawPhaseEncoding(builder, echo, startS + inLineS, share);
      });
    },
  );
  const rate = { hertz: 1 / repetitionS, cause: `excitations, 1/${formatTime(repetitionS)}` };
  return {
    timeline: { segments: Array.from({ length: images }, () => segments).flat() },
    tones: [rate],
    rhythm: [rate, { hertz: 1 / lineS, cause: `lines, ${partitions} partitions each` }],
  };
}
