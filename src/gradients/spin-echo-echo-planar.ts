/**
 * Spin-echo echo planar: a refocusing pulse between crushers, then the readout train; as a series, or
 * as a field map of a few volumes with the phase encoding once one way, once the other. Both ways
 * sound alike, since only the blips change sign.
 *
 * Heard: beeps at the shot rate, each after the soft double click of the crushers.
 *
 * @module
 */
import type { Scan, Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { playSeries, seriesRhythm, seriesTiming } from './echo-planar-series.js';
import { echoPlanarTones, readTrain } from './echo-planar-shot.js';
import { scanGeometry } from './geometry.js';
import { fullLimits } from './hardware.js';
import { drawSpinEcho, layOutSpinEcho } from './spin-echo-planar.js';
import type { PlayedScan } from './timeline.js';

export function playSpinEchoEchoPlanar(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const train = readTrain(scan, limits);
  const timing = seriesTiming(scan);
  const builder = new BlockBuilder();
  const shot = layOutSpinEcho(scan, train, timing.periodSeconds, limits);
  drawSpinEcho(builder, scan, shot, limits);
  return {
    timeline: playSeries(timing, [{ block: builder.build(scanGeometry(scan)), gain: 1 }]),
    tones: echoPlanarTones(train),
    rhythm: seriesRhythm(scan, timing),
  };
}
