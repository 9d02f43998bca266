/**
 * The labelling of blood below the head, on the axis of the bore: a train of short pulses about 1 ms
 * apart, each under a gradient that is taken back before the next but for a small mean
 * (pseudo-continuous); one long pulse under a constant gradient (continuous); or one short inversion of
 * a slab (pulsed).
 *
 * Heard: a steady tone at 1 / (pulse interval) and its harmonics, as long as the labelling; two soft
 * clicks with silence between them; or a thud.
 *
 * @module
 */
import { choiceField, numberField, type Scan } from '../protocol/scan.js';
import type { BlockBuilder } from './block-builder.js';
import { addInversion } from './excitation.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { lobeArea, lobeDurationSeconds, lobeWithin, plateauLobe } from './lobes.js';
import type { Line } from './timeline.js';

/** Share of the interval between pulses that a pulse takes: 0.5 ms of 1 ms. Common practice, no source. */
const PULSE_SHARE = 0.5;

/** Thickness of the slab that pulsed labelling inverts, in mm. Common practice, no source. */
const SLAB_MM = 100;

/** Labelling drawn: when it is over, and what it sounds like. */
export interface Labelling {
  /** From when the delay after labelling counts, in s. */
  readonly labelledSeconds: number;
  /** When the gradients are free again, in s. */
  readonly endSeconds: number;
  readonly tones: readonly Line[];
}

/**
 * Draws the labelling from a time on, on the builder's slice axis.
 *
 * @throws {UnplayableError} The gradients cannot take a labelling pulse back before the next.
 */
export function addLabelling(
  builder: BlockBuilder,
  scan: Scan,
  startSeconds: number,
  limits: GradientLimits,
): Labelling {
  switch (choiceField(scan, 'ArterialSpinLabelingType')) {
    case 'PASL': {
      // The delay of pulsed labelling counts from its pulse.
      const { pulseCentreSeconds, endSeconds } = addInversion(
        builder,
        startSeconds,
        limits,
        SLAB_MM,
      );
      return { labelledSeconds: pulseCentreSeconds, endSeconds, tones: [] };
    }
    case 'CASL': {
      const mean = numberField(scan, 'LabelingPulseAverageGradient');
      const lobe = plateauLobe(mean, numberField(scan, 'LabelingDuration'), limits);
      const endSeconds =
        mean === 0 ? startSeconds + lobe.flatSeconds : builder.add('slice', lobe, startSeconds);
      return { labelledSeconds: endSeconds, endSeconds, tones: [] };
    }
    default:
      return addPulseTrain(builder, scan, startSeconds, limits);
  }
}

function addPulseTrain(
  builder: BlockBuilder,
  scan: Scan,
  startSeconds: number,
  limits: GradientLimits,
): Labelling {
  const intervalSeconds = numberField(scan, 'LabelingPulseInterval') * 1e-3;
  const strongest = numberField(scan, 'LabelingPulseMaximumGradient');
  const mean = numberField(scan, 'LabelingPulseAverageGradient');
  const pulse = plateauLobe(strongest, PULSE_SHARE * intervalSeconds, limits);
  const restSeconds = intervalSeconds - lobeDurationSeconds(pulse);
  const back =
    restSeconds <= 0
      ? undefined
      : lobeWithin(mean * intervalSeconds - lobeArea(pulse), restSeconds, limits);
  if (back === undefined || strongest > limits.amplitude) {
    throw new UnplayableError(
      'LabelingPulseInterval',
      `labelling pulses ${formatTime(intervalSeconds)} apart under ${strongest} mT/m, with a mean of ${mean} mT/m, ` +
        `are too fast for ${limits.amplitude} mT/m and ${limits.slewRate} T/m/s`,
      'a longer interval, or a smaller gradient during the pulse',
      'Check LabelingPulseInterval (in ms), LabelingPulseMaximumGradient, LabelingPulseAverageGradient and MaximumSlewRate.',
    );
  }
  const pulses = Math.max(1, Math.round(numberField(scan, 'LabelingDuration') / intervalSeconds));
  for (let i = 0; i < pulses; i++) {
    const backSeconds = builder.add('slice', pulse, startSeconds + i * intervalSeconds);
    builder.add('slice', back, backSeconds);
  }
  const endSeconds = startSeconds + pulses * intervalSeconds;
  const tone = {
    hertz: 1 / intervalSeconds,
    cause: `labelling pulses, 1/${formatTime(intervalSeconds)}`,
  };
  return { labelledSeconds: endSeconds, endSeconds, tones: [tone] };
}
