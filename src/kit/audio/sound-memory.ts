/**
 * What was worked out from a study's sounds, kept from one run to the next: steps survive as long as
 * nothing that is heard in them changes.
 *
 * @module
 */

/** A place for results. What is kept may be gone later; what comes back is as it was. */
export interface Memory {
  /** What was kept under a key, if it is still there. */
  readonly recall: (key: string) => Uint8Array | undefined;
  /** @param key - Everything that the result follows from, beside the program itself. */
  readonly keep: (key: string, result: Uint8Array) => void;
}

/** The memory of a study. */
export interface SoundMemory extends Memory {
  /** Everything that the sound of a scan follows from, as one text. */
  readonly ofScan: (scan: string) => string;
  /** The same for what else is heard of the scanner. */
  readonly ofScanner: string;
}

/** A result that survives JSON, as it was kept or made anew. */
export function remembered<T>(
  memory: Memory | undefined,
  key: () => readonly unknown[],
  make: () => T,
): T {
  if (memory === undefined) return make();
  const name = JSON.stringify(key());
  const kept = memory.recall(name);
  if (kept !== undefined) return JSON.parse(new TextDecoder().decode(kept)) as T;
  const made = make();
  memory.keep(name, new TextEncoder().encode(JSON.stringify(made)));
  return made;
}

/** The same for bytes that take their time. */
export async function rememberedBytes(
  memory: Memory | undefined,
  key: () => readonly unknown[],
  make: () => Promise<Uint8Array>,
): Promise<Uint8Array> {
  if (memory === undefined) return make();
  const name = JSON.stringify(key());
  const kept = memory.recall(name);
  if (kept !== undefined) return kept;
  const made = await make();
  memory.keep(name, made);
  return made;
}
