/**
 * Spin-echo echo-planar field map: the same few volumes with the phase encoding once one way, once
 * the other. Both sound alike, since only the blips change sign.
 *
 * @module
 */
import { numberField, type Scan, type Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { echoPlanarLines, readTrain, shotPeriodS, volumeCount } from './echo-planar-shot.js';
import { scanGeometry } from './geometry.js';
import { fullLimits } from './hardware.js';
import { drawSpinEcho, layOutSpinEcho } from './spin-echo-planar.js';
import type { PlayedScan } from './timeline.js';

export function playFieldMapEchoPlanar(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const train = readTrain(scan, limits);
  const periodS = shotPeriodS(scan);
  const builder = new BlockBuilder();
  drawSpinEcho(builder, scan, layOutSpinEcho(scan, train, periodS, limits), limits);
  const shots = Math.round(numberField(scan, 'RepetitionTime') / periodS);
  return {
    timeline: {
      segments: [
        {
          durationS: periodS,
          repeats: shots * volumeCount(scan),
          layers: [{ block: builder.build(scanGeometry(scan)), gain: 1 }],
        },
      ],
    },
    ...echoPlanarLines(scan, train, periodS),
  };
}
