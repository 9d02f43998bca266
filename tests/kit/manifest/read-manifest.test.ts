/** Reading `kit.json` back. */
import { expect, test } from 'vitest';
import { readManifest } from '../../../src/kit/manifest/read-manifest.js';
import { sampleManifest } from '../../helpers/sample-kit.js';

const manifest = sampleManifest();

test('a manifest comes back as it was written', () => {
  expect(readManifest(JSON.stringify(manifest))).toEqual(manifest);
});

test.each([
  ['not JSON', '{', 'not JSON'],
  ['a list', '[]', 'it must be an object'],
  ['nothing', '{}', 'kit must be a text'],
  [
    'a level that is text',
    JSON.stringify({ ...manifest, ceiling: { laeqDba: '65' } }),
    'ceiling.laeqDba must be a number',
  ],
  [
    'a level that is missing',
    JSON.stringify({ ...manifest, voiceReference: { file: 'x' } }),
    'voiceReference.sha256 must be a text',
  ],
  ['steps that are no list', JSON.stringify({ ...manifest, steps: {} }), 'steps must be a list'],
  [
    'a session without its step',
    JSON.stringify({ ...manifest, sessions: [{ day: 1, date: null }] }),
    'sessions[0].step must be a number',
  ],
  [
    'a number as approval',
    JSON.stringify({ ...manifest, approval: 5 }),
    'approval must be a text or null',
  ],
])('refuses %s, naming the place', (_what, text, message) => {
  expect(() => readManifest(text)).toThrow(RangeError);
  expect(() => readManifest(text)).toThrow(message);
});
