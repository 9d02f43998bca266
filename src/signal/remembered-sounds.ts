/**
 * Sounds that are read again and again, computed once and held in memory as long as there is room.
 *
 * @module
 */
import { collect, type Sound, soundOf } from './sound.js';

/** Holds the first sounds that are asked for; those for which there is no room are computed each time. */
export class HeldSounds {
  private readonly sounds = new Map<string, Sound>();
  private left: number;

  /** @param samples - How many are held in all, 8 bytes each. */
  constructor(samples: number) {
    this.left = samples;
  }

  /**
   * @param key - Always of the same sound.
   * @param make - Asked for once.
   */
  get(key: string, make: () => Sound): Sound {
    let sound = this.sounds.get(key);
    if (sound === undefined) this.sounds.set(key, (sound = this.hold(make())));
    return sound;
  }

  /** The sound as it is, collected when it is first read. */
  private hold(sound: Sound): Sound {
    const { sampleRateHz, length } = sound;
    if (length > this.left) return sound;
    this.left -= length;
    let held: Sound | undefined;
    return {
      sampleRateHz,
      length,
      blocks: () => (held ??= soundOf(collect(sound), sampleRateHz)).blocks(),
    };
  }
}
