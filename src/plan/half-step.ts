/**
 * Steps that a plan gets when a step is too much: a half step on the way up, a softer variant below the
 * first.
 *
 * @module
 */
import { LARGEST_RISE_DB, SHORTEST_ONSET_SECONDS } from '../protocol/plan-ranges.js';
import type { PlannedSound, Step } from './plan.js';

/**
 * The step halfway between two steps, on the axis on which they differ.
 *
 * @param lower - A whole step.
 * @param upper - The one after it.
 * @returns Null when there is nothing halfway: an order, a posture, one sound more.
 */
export function halfStep(lower: Step, upper: Step): Step | null {
  const step: Step = { ...lower, number: lower.number + 0.5, change: 'half' };
  switch (upper.change) {
    case 'level':
      return { ...step, levelDb: (lower.levelDb + upper.levelDb) / 2 };
    case 'onset': {
      const onsetSeconds = Math.max(
        Math.sqrt(lower.onsetSeconds * upper.onsetSeconds),
        SHORTEST_ONSET_SECONDS,
      );
      return { ...step, onsetSeconds: Math.round(onsetSeconds * 100) / 100 };
    }
    case 'softness':
      return {
        ...step,
        softness: (lower.softness + upper.softness) / 2,
        sounds: pairs(lower, upper).map(([sound, next]) => ({
          ...sound,
          softness: (sound.softness + next.softness) / 2,
        })),
      };
    case 'duration':
      return {
        ...step,
        sounds: pairs(lower, upper).map(([sound, next]) => ({
          ...sound,
          durationSeconds: Math.round(5 * (sound.durationSeconds + next.durationSeconds)) / 10,
        })),
      };
    case 'sounds': {
      const has = ({ scan }: PlannedSound): boolean =>
        lower.sounds.some(sound => sound.scan === scan);
      const added = upper.sounds.filter(sound => !has(sound));
      if (added.length < 2) return null;
      const half = added.slice(0, Math.ceil(added.length / 2));
      return {
        ...step,
        sounds: upper.sounds.filter(sound => has(sound) || half.includes(sound)),
      };
    }
    default:
      return null;
  }
}

/** The variant below a step that is too much and has none below it: dull and even, or softer. */
export function softerStep(step: Step): Step {
  const softer: Step = { ...step, number: step.number - 0.5, change: 'softer' };
  if (step.sounds.every(({ softness }) => softness === 1)) {
    // As dull as can be already. The way back up is a step like any other.
    return { ...softer, levelDb: step.levelDb - LARGEST_RISE_DB };
  }
  return {
    ...softer,
    softness: 1,
    sounds: step.sounds.map(sound => ({ ...sound, softness: 1 })),
  };
}

/** Sounds of one step with those of the other; both have the same. */
const pairs = (lower: Step, upper: Step): readonly (readonly [PlannedSound, PlannedSound])[] =>
  lower.sounds.map(sound => [sound, upper.sounds.find(({ scan }) => scan === sound.scan)!]);
