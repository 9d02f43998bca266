/**
 * Builds a kit into a folder.
 *
 * @module
 */
import path from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { buildKit, type KitFile } from '../kit/build-kit.js';
import { renderPictureCard } from '../kit/document-picture-card.js';
import { renderGuide } from '../kit/guide.js';
import type { KitInputs } from '../kit/kit-inputs.js';
import type { Manifest } from '../kit/manifest.js';
import { renderPage } from '../kit/page.js';
import type { KitPlan } from '../kit/plan-kit.js';
import { writeFolder } from './atomic-folder.js';
import { EncodePool } from './encode-pool.js';
import { requireReplaceable, sha256, sha256Of } from './kit-folder.js';
import type { KitMaterial } from './kit-material.js';

export interface WriteKitOptions {
  /** Folder in which the kit's own folder is made. */
  readonly out: string;
  readonly material: KitMaterial;
  readonly signal?: AbortSignal;
  /** Called for each audio file that is encoded. */
  readonly onEncoded?: () => void;
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
  const pool = new EncodePool();
  const close = (): void => {
    void pool.close();
  };
  signal?.addEventListener('abort', close);
  try {
    const files = buildKit(inputs, kitPlan, {
      encodeMp3: async (sound, bitrateKbps) => {
        const mp3 = await pool.encode(sound, bitrateKbps);
        onEncoded?.();
        return mp3;
      },
      breathe: () => setImmediate(),
      sha256,
      sha256Of,
      renderPage: content => renderPage(content, material.texts, material.page),
      renderGuide: content => renderGuide(content, material.texts, material.page.fonts),
      renderPictureCard: content => renderPictureCard(content, material.texts, material.page.fonts),
    });
    let manifest: Manifest | undefined;
    await writeFolder(
      folder,
      untilDone(files, made => (manifest = made)),
      {
        mayReplace: () => requireReplaceable(folder),
        ...(signal === undefined ? {} : { signal }),
      },
    );
    return { folder, manifest: manifest! };
  } finally {
    signal?.removeEventListener('abort', close);
    await pool.close();
  }
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
