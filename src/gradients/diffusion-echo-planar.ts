/**
 * Diffusion echo planar: a spin-echo shot with strong lobes around its refocusing pulse, or pulses.
 * Direction and strength of the lobes change from volume to volume; their timing does not.
 *
 * Heard: two low thumps (four quicker ones around two refocusing pulses), then a beep; the thumps'
 * colour changes with every volume.
 *
 * @module
 */
import {
  booleanField,
  numberField,
  numbersField,
  type Scan,
  type Scanner,
} from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { diffusionLobes } from './diffusion-lobes.js';
import { type Direction, evenDirections } from './directions.js';
import {
  preparationSegments,
  seriesRhythm,
  seriesTiming,
  volumeSegments,
} from './echo-planar-series.js';
import { echoPlanarTones, readTrain } from './echo-planar-shot.js';
import { geometryOf, scanGeometry } from './geometry.js';
import { fullLimits, type GradientLimits } from './hardware.js';
import { drawSpinEcho, layOutSpinEcho, type SpinEchoShot } from './spin-echo-planar.js';
import { AXES, type GradientBlock, type Layer, type PlayedScan } from './timeline.js';

/** A volume: its b-value in s/mm2 and the direction of its lobes. */
interface Volume {
  readonly bValue: number;
  readonly direction: Direction;
}

export function playDiffusionEchoPlanar(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const train = readTrain(scan, limits);
  const timing = seriesTiming(scan);
  const refocusings = booleanField(scan, 'DoubleRefocused') ? 2 : 1;
  const shot = layOutSpinEcho(scan, train, timing.periodSeconds, limits, refocusings);
  const builder = new BlockBuilder();
  drawSpinEcho(builder, scan, shot, limits);
  const common: Layer = { block: builder.build(scanGeometry(scan)), gain: 1 };

  const volumes = volumesOf(scan);
  const highest = Math.max(...volumes.map(({ bValue }) => bValue));
  const lobes = highest > 0 ? lobesPerAxis(scan, shot, highest, limits) : [];
  const segments = volumes.flatMap(({ bValue, direction }) => {
    const strength = Math.sqrt(bValue / highest);
    const weighting =
      bValue === 0 ? [] : lobes.map((block, i) => ({ block, gain: strength * direction[i]! }));
    return volumeSegments(timing, [common, ...weighting], 1);
  });
  return {
    timeline: { segments: [...preparationSegments(timing, [common]), ...segments] },
    tones: echoPlanarTones(train),
    rhythm: seriesRhythm(scan, timing),
  };
}

/** The volumes in their order: those without weighting spread evenly among the others, shells taking turns. */
function volumesOf(scan: Scan): readonly Volume[] {
  const bValues = numbersField(scan, 'DiffusionBValues');
  const shells = bValues.filter(b => b > 0);
  const count = numberField(scan, 'NumberOfVolumes');
  const directions = evenDirections(numberField(scan, 'NumberOfDirections'));
  const weighted = Math.min(count, shells.length * directions.length);
  const unweighted = count - weighted;
  const volumes: Volume[] = [];
  let played = 0;
  for (let i = 0; i < count; i++) {
    const unweightedSoFar = i - played;
    const due = Math.ceil(((i + 1) * unweighted) / count);
    if (unweightedSoFar < due || played === weighted) {
      volumes.push({ bValue: 0, direction: [0, 0, 1] });
    } else {
      const direction = directions[Math.floor(played / shells.length)]!;
      volumes.push({ bValue: shells[played % shells.length]!, direction });
      played += 1;
    }
  }
  return volumes;
}

/** The lobes at full strength, once on each physical axis. */
function lobesPerAxis(
  scan: Scan,
  shot: SpinEchoShot,
  bValue: number,
  limits: GradientLimits,
): readonly GradientBlock[] {
  const lobes = diffusionLobes(scan, shot, bValue, limits);
  return AXES.map(axis => {
    const builder = new BlockBuilder();
    for (const { lobe, startSeconds } of lobes) builder.add('read', lobe, startSeconds);
    return builder.build(geometryOf(axis, axis, axis));
  });
}
