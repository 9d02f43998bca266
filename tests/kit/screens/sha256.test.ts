import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { sha256Base64 } from '../../../src/kit/screens/sha256.js';

// FIPS 180-4 examples (NIST, "SHA256.pdf"): one block, two blocks; and the empty message.
test.each([
  ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
  [
    'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
    '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
  ],
  ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
])('hashes “%s” as NIST does', (text, hexadecimal) => {
  expect(sha256Base64(text)).toBe(Buffer.from(hexadecimal, 'hex').toString('base64'));
});

test('agrees with the platform at every length around a block, and beyond ASCII', () => {
  for (let length = 0; length <= 130; length++) {
    const text = 'é'.repeat(length % 7) + 'x'.repeat(length);
    expect(sha256Base64(text)).toBe(createHash('sha256').update(text).digest('base64'));
  }
});
