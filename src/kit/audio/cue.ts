/**
 * The cue: two soft notes that say that a sound is about to come (rising) or that the step is over
 * (falling).
 *
 * @module
 */
import { SAMPLE_RATE_HZ, type Sound, soundOf } from '../../signal/sound.js';

/** A fourth, in the range that small loudspeakers carry well: D5 and G5, in Hz. */
const NOTES_HZ = [587.33, 783.99] as const;

/** The second note starts after this share of the cue. */
const SECOND_NOTE = 0.4;

/** Every note rises over this time, in s: never sudden. */
const ATTACK_SECONDS = 0.06;

/** Then it falls to 1/e in this time, in s. */
const DECAY_SECONDS = 0.16;

/** The cue's last part fades to nothing, in s. */
const RELEASE_SECONDS = 0.1;

/** A cue of unit amplitude per note. */
export function cue(direction: 'rising' | 'falling', durationSeconds: number): Sound {
  const samples = new Float64Array(Math.round(durationSeconds * SAMPLE_RATE_HZ));
  const notes = direction === 'rising' ? NOTES_HZ : [...NOTES_HZ].reverse();
  for (const [n, hertz] of notes.entries()) {
    const startSeconds = n * SECOND_NOTE * durationSeconds;
    for (let i = Math.round(startSeconds * SAMPLE_RATE_HZ); i < samples.length; i++) {
      const t = i / SAMPLE_RATE_HZ - startSeconds;
      const rise = t < ATTACK_SECONDS ? 0.5 - 0.5 * Math.cos((Math.PI * t) / ATTACK_SECONDS) : 1;
      const leftSeconds = durationSeconds - i / SAMPLE_RATE_HZ;
      const end =
        leftSeconds < RELEASE_SECONDS
          ? 0.5 - 0.5 * Math.cos((Math.PI * leftSeconds) / RELEASE_SECONDS)
          : 1;
      samples[i]! += rise * end * Math.exp(-t / DECAY_SECONDS) * Math.sin(2 * Math.PI * hertz * t);
    }
  }
  return soundOf(samples);
}
