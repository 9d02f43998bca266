/**
 * Gradient-echo echo planar: fat saturation, slice selection, readout train, spoiler; one shot for
 * every slice (or group of slices, with multiband), over and over.
 *
 * Heard: beeps at the shot rate, each a tone at 1 / (2 x echo spacing) and its odd harmonics.
 *
 * @module
 */
import type { Scan, Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { playSeries, seriesRhythm, seriesTiming } from './echo-planar-series.js';
import { echoPlanarTones, readTrain } from './echo-planar-shot.js';
import { scanGeometry } from './geometry.js';
import { fullLimits } from './hardware.js';
import { drawSliceShot, layOutSliceShot } from './slice-shot.js';
import type { PlayedScan } from './timeline.js';

export function playEchoPlanar(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const train = readTrain(scan, limits);
  const timing = seriesTiming(scan);
  const builder = new BlockBuilder();
  drawSliceShot(builder, layOutSliceShot(scan, train, timing.periodSeconds, limits), 0);
  return {
    timeline: playSeries(timing, [{ block: builder.build(scanGeometry(scan)), gain: 1 }]),
    tones: echoPlanarTones(train),
    rhythm: seriesRhythm(scan, timing),
  };
}
