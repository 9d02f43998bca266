/**
 * Builds a kit into a folder.
 *
 * @module
 */
import path from 'node:path';
import { buildKit, type KitFile } from '../kit/build.js';
import type { KitInputs } from '../kit/kit-inputs.js';
import type { Manifest } from '../kit/manifest/manifest.js';
import type { KitPlan } from '../kit/plan-kit.js';
import { writeFolder } from './atomic-folder.js';
import { requireReplaceable } from './kit-folder.js';
import type { KitMaterial } from './kit-material.js';
import { withKitTools } from './kit-tools.js';

export interface WriteKitOptions {
  /** Folder in which the kit's own folder is made. */
  readonly out: string;
  readonly material: KitMaterial;
  readonly signal?: AbortSignal | undefined;
  /** Called for each audio file that is encoded. */
  readonly onEncoded?: (() => void) | undefined;
}

export interface WrittenKit {
  readonly folder: string;
  readonly manifest: Manifest;
}

/**
 * Writes a kit, whole or not at all.
 *
 * @throws {UserError} `CANNOT_WRITE`: the place holds something else, or cannot be written.
 */
export async function writeKit(
  inputs: KitInputs,
  kitPlan: KitPlan,
  { out, material, signal, onEncoded }: WriteKitOptions,
): Promise<WrittenKit> {
  const folder = path.join(out, kitPlan.code);
  // Before the work as well as after it: nobody should wait for a refusal.
  await requireReplaceable(folder);
  return withKitTools(material, { signal, onEncoded }, async tools => {
    let manifest: Manifest | undefined;
    await writeFolder(
      folder,
      untilDone(buildKit(inputs, kitPlan, tools), made => (manifest = made)),
      { mayReplace: () => requireReplaceable(folder), signal },
    );
    return { folder, manifest: manifest! };
  });
}

/** Hands files on, and the manifest that comes with the end. */
async function* untilDone(
  files: AsyncGenerator<KitFile, Manifest>,
  onDone: (manifest: Manifest) => void,
): AsyncGenerator<KitFile> {
  for (;;) {
    const next = await files.next();
    if (next.done === true) {
      onDone(next.value);
      return;
    }
    yield next.value;
  }
}
