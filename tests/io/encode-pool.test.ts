/** Encoding in workers. */
import { afterAll, expect, test } from 'vitest';
import { encodeMp3, Mp3Encoder } from '../../src/formats/mp3-encoder.js';
import { EncodePool } from '../../src/io/encode-pool.js';
import { type Sound, soundOf } from '../../src/signal/sound.js';

const pool = new EncodePool(2);
afterAll(() => pool.close());

const tone = (hertz: number, seconds: number): Sound =>
  soundOf(
    Float64Array.from({ length: Math.round(seconds * 44_100) }, (_, i) =>
      // In the precision that workers get.
      Math.fround(0.2 * Math.sin((2 * Math.PI * hertz * i) / 44_100)),
    ),
  );

test('workers give the bytes that this thread gives, more sounds than workers, each its own', async () => {
  const encoder = await Mp3Encoder.create();
  const sounds = [3.3, 0.1, 2, 1.5, 0.7].map((seconds, i) => tone(300 + 100 * i, seconds));
  const files = await Promise.all(sounds.map(sound => pool.encode(sound, 64)));
  for (const [i, sound] of sounds.entries()) {
    expect(Buffer.compare(files[i]!, encodeMp3(encoder, sound, 64))).toBe(0);
  }
});

test('a long sound is taken a little ahead, not all at once', async () => {
  let made = 0;
  const block = new Float64Array(65_536);
  const sound: Sound = {
    sampleRateHz: 44_100,
    length: 60 * block.length,
    *blocks() {
      for (; made < 60; made++) yield block;
    },
  };
  const file = pool.encode(sound, 64);
  // Time for this thread to make blocks, none for the worker to say that it took one.
  for (let turn = 0; turn < 1000; turn++) await Promise.resolve();
  expect(made).toBe(24);
  await file;
  expect(made).toBe(60);
});

test('what cannot be encoded fails', async () => {
  const failing = new EncodePool(1);
  await expect(failing.encode(soundOf(Float64Array.of(0, 2, 0)), 64)).rejects.toThrow(
    'between -1 and 1',
  );
  await failing.close();
});

test('a pool that is closed fails what is under way instead of waiting for ever', async () => {
  const closing = new EncodePool(1);
  const first = closing.encode(tone(440, 30), 64);
  const second = closing.encode(tone(440, 1), 64);
  const failures = Promise.allSettled([first, second]);
  await closing.close();
  expect((await failures).map(({ status }) => status)).toEqual(['rejected', 'rejected']);
});
