/**
 * A recorded cue: checked, brought to our sample rate, cut to what is said.
 *
 * @module
 */
import type { Problem } from '../../errors.js';
import { mainsHum } from '../../levels/mains-hum.js';
import { resample } from '../../signal/resample.js';
import { shapeSound } from '../../signal/shape-sound.js';
import { collect, SAMPLE_RATE_HZ, type Sound, soundOf } from '../../signal/sound.js';

/** A recording as it was read. */
export interface Recording {
  /** Name of its file, for messages. */
  readonly file: string;
  readonly sampleRateHz: number;
  /** One array per channel, 1.0 = full scale. */
  readonly channels: readonly Float64Array[];
}

/** Longest and shortest cue, in s: a sentence before each sound. Our own default. */
export const CLIP_SECONDS = { min: 0.5, max: 5 } as const;

/** Longest file, in s: what is not said is cut away. */
export const MAX_RECORDING_SECONDS = 60;

/**
 * Hum above this, re the clip's RMS in dB, is refused: at talking level, 60 dB, it is 35 dB, which a
 * quiet room lets through at 100 Hz and above (threshold of hearing there: 26 dB, ISO 226). Our own.
 */
const MOST_HUM_DB = -25;

/** What a crest looks like that was cut off: so many samples in a row at the clip's own extreme. */
const FLAT_SAMPLES = 5;

/** Crests below this are flat because of few bits, not because something was cut off. */
const FLAT_FROM = 0.25;

/** A sample at full scale. */
const FULL_SCALE = 32_767 / 32_768;

/** Softest crest of a clip that can be brought to level without bringing up its noise. */
const SOFTEST = 0.003;

/** Softer than the loudest moment by more, in dB, is not speech any more. */
const SILENCE_DB = 45;

/** Loudness is looked at in pieces of this length, in s. */
const PIECE_SECONDS = 0.01;

/** Fades at both ends, in s, and what stays of the silence around what is said, to hold them. */
const FADE_SECONDS = 0.05;

/** What is wrong with a recording; none if it can be a cue. */
export function clipProblems(recording: Recording): readonly Problem[] {
  const { file, sampleRateHz } = recording;
  const problems: Problem[] = [];
  const report = (found: string, allowed: string, fix: string): void => {
    problems.push({ where: file, found, allowed, fix });
  };
  const mono = mixDown(recording);
  const peak = mono.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  if (!(peak >= SOFTEST)) {
    report('hardly any sound', 'a recording of somebody speaking', 'Record it again, louder.');
    return problems;
  }
  const clipped = recording.channels.map(countFlatCrests).reduce((a, b) => a + b, 0);
  if (clipped > 0) {
    report(
      `${clipped === 1 ? 'a crest' : `${clipped} crests`} cut off by too high a recording level`,
      'a recording without clipping',
      'Record it again with the level set lower, or from further away.',
    );
  }
  const hum = mainsHum(mono, sampleRateHz);
  if (hum !== undefined && hum.levelDb > MOST_HUM_DB) {
    report(
      `hum of ${hum.mainsHz} Hz mains, ${Math.round(-hum.levelDb)} dB below the speech`,
      `hum at least ${-MOST_HUM_DB} dB below the speech`,
      'Record it again on battery, away from power supplies and cables.',
    );
  }
  const [start, end] = spoken(mono, sampleRateHz);
  const seconds = (end - start) / sampleRateHz;
  const { min, max } = CLIP_SECONDS;
  if (seconds < min || seconds > max) {
    report(
      `${seconds.toFixed(1)} s of sound`,
      `${min} to ${max} s`,
      seconds < min ? 'Say a few words.' : 'Say less, or cut it.',
    );
  }
  return problems;
}

/** The cue of a recording that has no problems: mono, 44.1 kHz, what is said, faded at both ends. */
export function clipSound(recording: Recording): Sound {
  const { sampleRateHz } = recording;
  const mono = mixDown(recording);
  const [start, end] = spoken(mono, sampleRateHz);
  const around = Math.round(FADE_SECONDS * sampleRateHz);
  const said = mono.subarray(Math.max(0, start - around), end + around);
  const sound = soundOf(resample(said, sampleRateHz, SAMPLE_RATE_HZ));
  const fades = { fadeInSeconds: FADE_SECONDS, fadeOutSeconds: FADE_SECONDS };
  return soundOf(collect(shapeSound(sound, { gain: 1, ...fades })));
}

function mixDown({ channels }: Recording): Float64Array {
  return channels[0]!.map((_, i) =>
    channels.reduce((sum, channel) => sum + channel[i]! / channels.length, 0),
  );
}

/** First sample of what is said, and the one after the last. */
function spoken(samples: Float64Array, sampleRateHz: number): readonly [number, number] {
  const piece = Math.round(PIECE_SECONDS * sampleRateHz);
  const powers: number[] = [];
  for (let at = 0; at < samples.length; at += piece) {
    const part = samples.subarray(at, at + piece);
    powers.push(part.reduce((sum, x) => sum + x * x, 0) / part.length);
  }
  const least = Math.max(...powers) * 10 ** (-SILENCE_DB / 10);
  const isHeard = (power: number): boolean => power >= least;
  const last = powers.findLastIndex(isHeard) + 1;
  return [powers.findIndex(isHeard) * piece, Math.min(last * piece, samples.length)];
}

/** Runs of samples at full scale, or flat at the extreme of the recording. */
function countFlatCrests(samples: Float64Array): number {
  const most = samples.reduce((most, x) => Math.max(most, x), 0);
  const least = samples.reduce((least, x) => Math.min(least, x), 0);
  let count = 0;
  let run = 0;
  for (let i = 0; i <= samples.length; i++) {
    const x = samples[i] ?? 0;
    if ((x === most && most >= FLAT_FROM) || (x === least && -least >= FLAT_FROM)) run += 1;
    else {
      const needed = Math.abs(samples[i - 1] ?? 0) >= FULL_SCALE ? 3 : FLAT_SAMPLES;
      if (run >= needed) count += 1;
      run = 0;
    }
  }
  return count;
}
