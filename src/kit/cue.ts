/**
 * The cue: two soft notes that say that a sound is about to come (rising) or that the step is over
 * (falling).
 *
 * @module
 */
import { SAMPLE_RATE_HZ, type Sound, soundOf } from '../signal/sound.js';

/** A fourth, in the range that small loudspeakers carry well: D5 and G5, in Hz. */
const NOTES_HZ = [587.33, 783.99] as const;

/** The second note starts after this share of the cue. */
const SECOND_NOTE = 0.4;

/** Every note rises over this time, in s: never sudden. */
const ATTACK_S = 0.06;

/** Then it falls to 1/e in this time, in s. */
const DECAY_S = 0.16;

/** The cue's last part fades to nothing, in s. */
const RELEASE_S = 0.1;

/** A cue of unit amplitude per note. */
export function cue(direction: 'rising' | 'falling', durationS: number): Sound {
  const samples = new Float64Array(Math.round(durationS * SAMPLE_RATE_HZ));
  const notes = direction === 'rising' ? NOTES_HZ : [...NOTES_HZ].reverse();
  for (const [n, hertz] of notes.entries()) {
    const startS = n * SECOND_NOTE * durationS;
    for (let i = Math.round(startS * SAMPLE_RATE_HZ); i < samples.length; i++) {
      const t = i / SAMPLE_RATE_HZ - startS;
      const rise = t < ATTACK_S ? 0.5 - 0.5 * Math.cos((Math.PI * t) / ATTACK_S) : 1;
      const leftS = durationS - i / SAMPLE_RATE_HZ;
      const end = leftS < RELEASE_S ? 0.5 - 0.5 * Math.cos((Math.PI * leftS) / RELEASE_S) : 1;
      samples[i]! += rise * end * Math.exp(-t / DECAY_S) * Math.sin(2 * Math.PI * hertz * t);
    }
  }
  return soundOf(samples);
}
