/**
 * The scans of a study from gentle to hard. Listening to a sound takes a while, so each is heard once,
 * however many kits are made of the study.
 *
 * @module
 */
import { byHardness, rankSounds, type RankedSound } from '../../levels/gentleness.js';
import { without } from '../../protocol/without.js';
import type { KitStudy } from '../kit-inputs.js';
import type { SoundSource } from './levelled-sounds.js';
import { remembered } from './sound-memory.js';

/** How long a scan is listened to when it is compared with others, in s. */
export const COMPARED_SECONDS = 6;

const heard = new WeakMap<SoundSource, Map<string, RankedSound>>();

type Listening = Pick<KitStudy, 'sound' | 'memory'>;

/** What is known of a study's sounds in this run. */
function knownOf(source: SoundSource): Map<string, RankedSound> {
  const known = heard.get(source) ?? new Map<string, RankedSound>();
  heard.set(source, known);
  return known;
}

const keyOf = (memory: NonNullable<KitStudy['memory']>, name: string): readonly unknown[] => [
  'rank',
  COMPARED_SECONDS,
  memory.ofScan(name),
];

/** Scans that have to be listened to. */
export const unheardScans = (
  { sound, memory }: Listening,
  names: readonly string[],
): readonly string[] =>
  names.filter(
    name =>
      !knownOf(sound).has(name) &&
      memory?.recall(JSON.stringify(keyOf(memory, name))) === undefined,
  );

/** Takes down what was heard of a sound elsewhere. */
export function takeRank({ sound, memory }: Listening, ranked: RankedSound): void {
  const described = without(ranked, 'name');
  remembered(
    memory,
    () => keyOf(memory!, ranked.name),
    () => described,
  );
  knownOf(sound).set(ranked.name, ranked);
}

/**
 * @param study - Its `sound` is always the same function for the same study.
 * @param names - Of scans that it knows.
 */
export function rankScans(
  { sound: source, memory }: Listening,
  names: readonly string[],
): readonly RankedSound[] {
  const known = knownOf(source);
  for (const name of names) {
    if (known.has(name)) continue;
    // Each is described by itself; the order comes after.
    const described = remembered(
      memory,
      () => keyOf(memory!, name),
      () => without(rankSounds([{ name, sound: source(name, COMPARED_SECONDS) }])[0]!, 'name'),
    );
    known.set(name, { name, ...described });
  }
  return byHardness(names.map(name => known.get(name)!));
}
