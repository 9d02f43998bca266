/**
 * What the machine lends to the making of kits: encoders on all cores, checksums, drawing with the
 * typefaces at hand.
 *
 * @module
 */
import { setImmediate } from 'node:timers/promises';
import type { KitTools } from '../kit/build.js';
import { renderPictureCard } from '../kit/paper/picture-card.js';
import { renderGuide } from '../kit/paper/guide.js';
import { renderPage } from '../kit/screens/page.js';
import { EncodePool } from './encode-pool.js';
import { sha256, sha256Of } from './kit-folder.js';
import type { KitMaterial } from './kit-material.js';

/**
 * Lends tools for as long as `use` works with them.
 *
 * @param onEncoded - Called for each audio file that is there.
 */
export async function withKitTools<T>(
  { page }: Pick<KitMaterial, 'page'>,
  {
    signal,
    onEncoded,
  }: {
    readonly signal?: AbortSignal | undefined;
    readonly onEncoded?: (() => void) | undefined;
  },
  use: (tools: KitTools) => Promise<T>,
): Promise<T> {
  // Workers start when there is something to encode.
  let pool: EncodePool | undefined;
  const close = (): void => {
    void pool?.close();
  };
  signal?.addEventListener('abort', close);
  try {
    return await use({
      encodeMp3: async (sound, bitrateKbps) => {
        pool ??= new EncodePool();
        return pool.encode(sound, bitrateKbps);
      },
      onAudio: onEncoded,
      breathe: () => setImmediate(),
      sha256,
      sha256Of,
      renderPage: (content, texts) => renderPage(content, texts, page),
      renderGuide: (content, texts) => renderGuide(content, texts, page.fonts),
      renderPictureCard: (content, texts) => renderPictureCard(content, texts, page.fonts),
    });
  } finally {
    signal?.removeEventListener('abort', close);
    await pool?.close();
  }
}
