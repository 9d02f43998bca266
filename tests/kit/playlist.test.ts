/** Which files a music player runs through by itself. */
import { expect, test } from 'vitest';
import { kitDocuments } from '../../src/kit/kit-documents.js';
import { sampleManifest, sampleTexts } from '../helpers/sample-kit.js';

async function listed(preset: string): Promise<readonly string[]> {
  const manifest = sampleManifest({ preset });
  const nothing = () => Promise.resolve(new Uint8Array());
  const tools = { renderPage: () => '', renderGuide: nothing, renderPictureCard: nothing };
  for await (const [path, content] of kitDocuments(manifest, sampleTexts(), tools, false)) {
    if (path !== 'playlist.m3u8') continue;
    return String(content)
      .split('\n')
      .filter(line => line !== '' && !line.startsWith('#'));
  }
  throw new Error('there is no playlist');
}

test('for a child who is awake: the reference, then every step', async () => {
  const { voiceReference, steps } = sampleManifest();
  expect(await listed('awake')).toEqual([voiceReference.file, ...steps.map(({ file }) => file)]);
});

test('over a child who sleeps: the softest step alone, never the reference or a louder one', async () => {
  expect(await listed('asleep')).toEqual([sampleManifest().steps[0]!.file]);
});
