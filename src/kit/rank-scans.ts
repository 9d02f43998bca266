/**
 * The scans of a study from gentle to hard. Listening to a sound takes a while, so each is heard once,
 * however many kits are made of the study.
 *
 * @module
 */
import { byHardness, rankSounds, type RankedSound } from '../levels/gentleness.js';
import type { SoundSource } from './levelled-sounds.js';

/** How long a scan is listened to when it is compared with others, in s. */
const COMPARED_S = 6;

const heard = new WeakMap<SoundSource, Map<string, RankedSound>>();

/**
 * @param source - Always the same function for the same study.
 * @param names - Of scans that the source knows.
 */
export function rankScans(source: SoundSource, names: readonly string[]): readonly RankedSound[] {
  const known = heard.get(source) ?? new Map<string, RankedSound>();
  heard.set(source, known);
  for (const name of names) {
    if (known.has(name)) continue;
    // Each is described by itself; the order comes after.
    known.set(name, rankSounds([{ name, sound: source(name, COMPARED_S) }])[0]!);
  }
  return byHardness(names.map(name => known.get(name)!));
}
