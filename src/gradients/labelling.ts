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
import { lobeArea, lobeDurationS, lobeWithin, plateauLobe } from './lobes.js';
import type { Line } from './timeline.js';

/** Share of the interval between pulses that a pulse takes: 0.5 ms of 1 ms. Common practice, no source. */
const PULSE_SHARE = 0.5;

/** Thickness of the slab that pulsed labelling inverts, in mm. Common practice, no source. */
const SLAB_MM = 100;

/** Labelling drawn: when it is over, and what it sounds like. */
export interface Labelling {
  /** From when the delay after labelling counts, in s. */
  readonly labelledS: number;
  /** When the gradients are free again, in s. */
  readonly endS: number;
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
  startS: number,
  limits: GradientLimits,
): Labelling {
  switch (choiceField(scan, 'ArterialSpinLabelingType')) {
    case 'PASL': {
      // The delay of pulsed labelling counts from its pulse.
      const { pulseCentreS, endS } = addInversion(builder, startS, limits, SLAB_MM);
      return { labelledS: pulseCentreS, endS, tones: [] };
    }
    case 'CASL': {
      const mean = numberField(scan, 'LabelingPulseAverageGradient');
      const lobe = plateauLobe(mean, numberField(scan, 'LabelingDuration'), limits);
      const endS = mean === 0 ? startS + lobe.flatS : builder.add('slice', lobe, startS);
      return { labelledS: endS, endS, tones: [] };
    }
    default:
      return addPulseTrain(builder, scan, startS, limits);
  }
}

function addPulseTrain(
  builder: BlockBuilder,
  scan: Scan,
  startS: number,
  limits: GradientLimits,
): Labelling {
  const intervalS = numberField(scan, 'LabelingPulseInterval') * 1e-3;
  const strongest = numberField(scan, 'LabelingPulseMaximumGradient');
  const mean = numberField(scan, 'LabelingPulseAverageGradient');
  const pulse = plateauLobe(strongest, PULSE_SHARE * intervalS, limits);
  const restS = intervalS - lobeDurationS(pulse);
  const back =
    restS <= 0 ? undefined : lobeWithin(mean * intervalS - lobeArea(pulse), restS, limits);
  if (back === undefined || strongest > limits.amplitude) {
    throw new UnplayableError(
      'LabelingPulseInterval',
      `labelling pulses ${formatTime(intervalS)} apart under ${strongest} mT/m, with a mean of ${mean} mT/m, ` +
        `are too fast for ${limits.amplitude} mT/m and ${limits.slewRate} T/m/s`,
      'a longer interval, or a smaller gradient during the pulse',
      'Check LabelingPulseInterval (in ms), LabelingPulseMaximumGradient, LabelingPulseAverageGradient and MaximumSlewRate.',
    );
  }
  const pulses = Math.max(1, Math.round(numberField(scan, 'LabelingDuration') / intervalS));
  for (let i = 0; i < pulses; i++) {
    const backS = builder.add('slice', pulse, startS + i * intervalS);
    builder.add('slice', back, backS);
  }
  const endS = startS + pulses * intervalS;
  const tone = { hertz: 1 / intervalS, cause: `labelling pulses, 1/${formatTime(intervalS)}` };
  return { labelledS: endS, endS, tones: [tone] };
}
