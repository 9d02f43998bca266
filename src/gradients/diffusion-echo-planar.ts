/**
 * Diffusion echo planar: a spin-echo shot with a strong lobe on each side of the refocusing pulse.
 * Direction and strength of the lobes change from volume to volume; their timing does not.
 *
 * Heard: two low thumps, then a beep; the thumps' colour changes with every volume.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { type Direction, evenDirections } from './directions.js';
import { echoPlanarLines, readTrain, shotPeriodS } from './echo-planar-shot.js';
import { geometryOf, scanGeometry } from './geometry.js';
import { formatTime, fullLimits, type GradientLimits, UnplayableError } from './hardware.js';
import { type Lobe, lobeDurationS } from './lobes.js';
import { diffusionGradient } from './physics.js';
import { drawSpinEcho, layOutSpinEcho, type SpinEchoShot } from './spin-echo-planar.js';
import type { Axis, GradientBlock, Layer, PlayedScan, Segment } from './timeline.js';

/** Diffusion lobes rise more slowly than the hardware could, for the nerves' sake. Common practice, no source. */
const SLEW_SHARE = 0.5;

/** A volume: its b-value in s/mm2 and the direction of its lobes. */
interface Volume {
  readonly bValue: number;
  readonly direction: Direction;
}

export function playDiffusionEchoPlanar(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const train = readTrain(scan, limits);
  const periodS = shotPeriodS(scan);
  const shot = layOutSpinEcho(scan, train, periodS, limits);
  const builder = new BlockBuilder();
  drawSpinEcho(builder, scan, shot, limits);
  const common: Layer = { block: builder.build(scanGeometry(scan)), gain: 1 };

  const volumes = volumesOf(scan);
  const highest = Math.max(...volumes.map(({ bValue }) => bValue));
  const pair = highest > 0 ? lobePair(scan, shot, highest, limits) : undefined;
  const shots = Math.round(numberField(scan, 'RepetitionTime') / periodS);
  const segments = volumes.map(({ bValue, direction }): Segment => {
    const strength = highest > 0 ? Math.sqrt(bValue / highest) : 0;
    const lobes =
      pair === undefined || bValue === 0
        ? []
        : pair.map((block, i) => ({ block, gain: strength * direction[i]! }));
    return { durationS: periodS, repeats: shots, layers: [common, ...lobes] };
  });

  const lines = echoPlanarLines(scan, train, periodS);
  return { timeline: { segments }, ...lines };
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

/** The pair of lobes at full strength, once on each physical axis. */
function lobePair(
  scan: Scan,
  shot: SpinEchoShot,
  bValue: number,
  limits: GradientLimits,
): readonly GradientBlock[] {
  const roomS = Math.min(
    shot.before.endS - shot.before.startS,
    shot.after.endS - shot.after.startS,
  );
  const durationS = optional(scan, 'DiffusionGradientDuration') ?? roomS;
  const lastStartS = shot.before.endS - durationS;
  const separationS =
    optional(scan, 'DiffusionGradientSeparation') ?? shot.after.startS - lastStartS;
  const lobe = lobeOf(scan, bValue, durationS, separationS, limits);
  const firstS = shot.after.startS - separationS;
  if (durationS > roomS || lobe === undefined || firstS < shot.before.startS) {
    throw new UnplayableError(
      'DiffusionBValues',
      `b = ${bValue} s/mm2 at an echo time of ${formatTime(numberField(scan, 'EchoTime'))} leaves ` +
        `${formatTime(Math.max(0, roomS))} for each lobe, which ${limits.amplitude} mT/m cannot make`,
      'a longer EchoTime, a lower b-value, a shorter readout train or stronger gradients',
      'Check EchoTime, DiffusionBValues, PartialFourier, EchoTrainLength and MaximumGradientAmplitude.',
    );
  }
  return (['x', 'y', 'z'] as const).map((axis: Axis) => {
    const builder = new BlockBuilder();
    builder.add('read', lobe, firstS);
    builder.add('read', lobe, shot.after.startS);
    return builder.build(geometryOf(axis, axis, axis));
  });
}

/** One lobe of the pair; undefined where the gradients are too weak or the time too short. */
function lobeOf(
  scan: Scan,
  bValue: number,
  durationS: number,
  separationS: number,
  limits: GradientLimits,
): Lobe | undefined {
  const slewRate = limits.slewRate * SLEW_SHARE * 1e3;
  const fixed = optional(scan, 'DiffusionGradientAmplitude');
  // The effective length is plateau plus one ramp, and the ramp depends on the amplitude.
  let rampS = limits.amplitude / slewRate;
  let amplitude = fixed ?? limits.amplitude;
  for (let round = 0; round < 8; round++) {
    const effectiveS = durationS - rampS;
    if (effectiveS <= 0) return undefined;
    amplitude = fixed ?? diffusionGradient(bValue, effectiveS, separationS);
    rampS = Math.min(amplitude, limits.amplitude) / slewRate;
  }
  const lobe = { amplitude, rampS, flatS: durationS - 2 * rampS };
  return amplitude > limits.amplitude || lobe.flatS < 0 || lobeDurationS(lobe) > separationS
    ? undefined
    : lobe;
}

function optional(
  scan: Scan,
  name: 'DiffusionGradientDuration' | 'DiffusionGradientSeparation' | 'DiffusionGradientAmplitude',
): number | undefined {
  const value = scan.fields[name]?.value;
  return typeof value === 'number' ? value : undefined;
}
