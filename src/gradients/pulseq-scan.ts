/**
 * A Pulseq sequence played: its timeline, and the tones and rates that its sound must show.
 *
 * @module
 */
import type { PulseqEvent, PulseqSequence } from '../formats/pulseq/sequence.js';
import { formatTime } from './hardware.js';
import { PulseqGradients } from './pulseq-gradients.js';
import { strongestGradientLines } from './pulseq-spectrum.js';
import { pulseqTimeline } from './pulseq-timeline.js';
import type { Line, PlayedScan } from './timeline.js';

/** Tones that are named. */
const TONES = 3;

/** Highest odd harmonic of a readout, and highest multiple of a rate, that a tone is called. */
const HIGHEST_HARMONIC = 9;
const HIGHEST_MULTIPLE = 100;

/** How far a tone may be from a multiple of a rate, in shares of the tone and of the rate. */
const NEAR = { ofTone: 0.02, ofRate: 0.1 };

/** Times between events in s are equal when they round to the same multiple of this: 1 us. */
const SAME_TIME_SECONDS = 1e-6;

/** So often a time must come between neighbours to be a rate. */
const FEWEST_TIMES = 4;

/** Readouts this near to each other, in s, are those of one train, where gradients may alternate. */
const TRAIN_SPACING_SECONDS = 0.003;

/** A rate that the sequence's events come at. */
interface Rate {
  readonly spacingSeconds: number;
  readonly what: string;
}

/** Plays a sequence. What its gradients do is as written: no limit of a scanner is applied. */
export function playPulseq(sequence: PulseqSequence): PlayedScan {
  const gradients = new PulseqGradients(sequence);
  const { timeline, periodSeconds } = pulseqTimeline(gradients);
  const readoutSeconds = commonestSpacing(eventTimes(sequence, sequence.blocks.adc, sequence.adc));
  const rates = pulseRates(sequence);
  const tones = strongestGradientLines(gradients, TONES).map((hertz, i): Line => {
    const place = i === 0 ? 'strongest line' : 'a strong line';
    return { hertz, cause: `${place} of the gradients${toneCause(hertz, readoutSeconds, rates)}` };
  });
  const repetition =
    periodSeconds === undefined
      ? []
      : [{ spacingSeconds: periodSeconds, what: 'exact repetition' }];
  const rhythm = [...rates, ...repetition].map(({ spacingSeconds, what }): Line => {
    return { hertz: 1 / spacingSeconds, cause: `${what}, 1/${formatTime(spacingSeconds)}` };
  });
  return { timeline, tones, rhythm };
}

/** Why a tone is there, as far as the times of readouts and pulses say it. */
function toneCause(
  hertz: number,
  readoutSeconds: number | undefined,
  rates: readonly Rate[],
): string {
  if (readoutSeconds !== undefined && readoutSeconds <= TRAIN_SPACING_SECONDS) {
    const harmonic = multipleAt(hertz, 2 * readoutSeconds, HIGHEST_HARMONIC);
    if (harmonic !== undefined && harmonic % 2 === 1) {
      return `; readout, ${harmonic}/(2 x ${formatTime(readoutSeconds)})`;
    }
  }
  for (const { spacingSeconds, what } of rates) {
    const multiple = multipleAt(hertz, spacingSeconds, HIGHEST_MULTIPLE);
    if (multiple === undefined) continue;
    return `; harmonic ${multiple} of ${what}, ${multiple}/${formatTime(spacingSeconds)}`;
  }
  return '';
}

/** Which multiple of the rate of a spacing a tone is; undefined for none. */
function multipleAt(hertz: number, spacingSeconds: number, highest: number): number | undefined {
  const multiple = Math.round(hertz * spacingSeconds);
  const off = Math.abs(hertz * spacingSeconds - multiple);
  if (multiple < 1 || multiple > highest) return undefined;
  return off <= Math.min(NEAR.ofTone * multiple, NEAR.ofRate) ? multiple : undefined;
}

/** The rates of excitations, where a file tells which pulses are such, and of all pulses. */
function pulseRates(sequence: PulseqSequence): readonly Rate[] {
  const { rf, blocks } = sequence;
  const excitations = new Map([...rf].filter(([, { use }]) => use === 'e'));
  const excitationSeconds = commonestSpacing(eventTimes(sequence, blocks.rf, excitations));
  const pulseSeconds = commonestSpacing(eventTimes(sequence, blocks.rf, rf));
  return [
    ...(excitationSeconds === undefined
      ? []
      : [{ spacingSeconds: excitationSeconds, what: 'excitations' }]),
    ...(pulseSeconds === undefined || pulseSeconds === excitationSeconds
      ? []
      : [{ spacingSeconds: pulseSeconds, what: 'RF pulses' }]),
  ];
}

/** The middle of every event of a column, in s. */
function eventTimes(
  { blocks }: PulseqSequence,
  column: Int32Array,
  events: ReadonlyMap<number, PulseqEvent>,
): readonly number[] {
  const timesSeconds: number[] = [];
  let start = 0;
  for (let i = 0; i < blocks.count; i++) {
    const event = events.get(column[i]!);
    if (event !== undefined)
      timesSeconds.push(start * blocks.unitSeconds + (event.startSeconds + event.endSeconds) / 2);
    start += blocks.durations[i]!;
  }
  return timesSeconds;
}

/** The time that lies most often between neighbours, and often enough; the longest of several such. */
function commonestSpacing(timesSeconds: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (let i = 1; i < timesSeconds.length; i++) {
    const ticks = Math.round((timesSeconds[i]! - timesSeconds[i - 1]!) / SAME_TIME_SECONDS);
    if (ticks > 0) counts.set(ticks, (counts.get(ticks) ?? 0) + 1);
  }
  let best: number | undefined;
  for (const [ticks, count] of counts) {
    const most = best === undefined ? FEWEST_TIMES - 1 : counts.get(best)!;
    if (count > most || (count === most && best !== undefined && ticks > best)) best = ticks;
  }
  return best === undefined ? undefined : best * SAME_TIME_SECONDS;
}
