/**
 * Every file of a kit that is text or paper: made anew whenever its plan changes.
 *
 * @module
 */
import { formatM3u8 } from '../formats/m3u8.js';
import type { KitContent } from './content.js';
import { kitContent } from './kit-content.js';
import type { Manifest } from './manifest/manifest.js';
import { kitReadme } from './paper/readme.js';
import { stepCount, stepTitle } from './tags.js';
import type { Texts } from './words/texts.js';

/** What the machine lends to it. */
export interface DocumentTools {
  readonly renderPage: (content: KitContent, texts: Texts) => string;
  readonly renderGuide: (content: KitContent, texts: Texts) => Promise<Uint8Array>;
  readonly renderPictureCard: (content: KitContent, texts: Texts) => Promise<Uint8Array>;
}

/**
 * Paths in the kit, and what stands there.
 *
 * @param texts - As this kit's families read them: see `textsFor`.
 * @param hasWav - Whether the steps are there as WAV too.
 */
export async function* kitDocuments(
  manifest: Manifest,
  texts: Texts,
  tools: DocumentTools,
  hasWav: boolean,
): AsyncGenerator<readonly [path: string, content: Uint8Array | string]> {
  const content = kitContent(manifest);
  yield ['playlist.m3u8', playlist(manifest, texts)];
  yield ['start-here.html', tools.renderPage(content, texts)];
  yield ['guide.pdf', await tools.renderGuide(content, texts)];
  yield ['picture-card.pdf', await tools.renderPictureCard(content, texts)];
  yield ['kit.json', `${JSON.stringify(manifest, null, 2)}\n`];
  yield ['README.txt', kitReadme(content, texts, hasWav)];
}

/**
 * The reference and all steps. A player runs on by itself: over a child who sleeps it finds the softest
 * step alone, neither the reference, which is as loud as talk, nor a louder step.
 */
function playlist({ kit, preset, voiceReference, steps }: Manifest, texts: Texts): string {
  const count = stepCount(steps);
  const entries = steps.map(({ number, file, durationSeconds }) => ({
    path: file,
    durationSeconds: durationSeconds,
    title: stepTitle(number, count, texts),
  }));
  const reference = {
    path: voiceReference.file,
    durationSeconds: voiceReference.durationSeconds,
    title: texts.words.volume.title,
  };
  return formatM3u8(
    `${texts.words.common.title}, ${kit}`,
    preset === 'asleep' ? entries.slice(0, 1) : [reference, ...entries],
  );
}
