/** Kit codes. */
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { checkCharacter, isKitCode, kitCode } from '../../src/kit/kit-code.js';

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');
const codeOf = (family: string, seed = 'seed'): string => kitCode(seed, family, sha256);

test('the check character is that of ISO/IEC 7064 MOD 37-2', () => {
  // Worked example of the UK blood services (Red Book, annex 2), which use it for donation numbers.
  expect(checkCharacter('G123498654321')).toBe('H');
});

describe('codes', () => {
  const codes = Array.from({ length: 2000 }, (_, i) => codeOf(`F${i}`));

  test('have two groups of four characters that cannot be mistaken for others', () => {
    for (const code of codes)
      expect(code).toMatch(/^[2-9CDFHJKMPRTVWXY]{4}-[2-9CDFHJKMPRTVWXY]{4}$/);
  });

  test('differ from family to family and from study to study', () => {
    expect(new Set(codes).size).toBe(codes.length);
    expect(codeOf('F1', 'another seed')).not.toBe(codeOf('F1'));
    // Seed and id are kept apart.
    expect(codeOf('b', 'a')).not.toBe(codeOf('ab', ''));
  });

  test('are the same every time, and pass their own check', () => {
    expect(codeOf('F1')).toBe(codes[1]);
    for (const code of codes) expect(isKitCode(code)).toBe(true);
  });

  test('use all of their characters', () => {
    expect(new Set(codes.join('').replaceAll('-', '')).size).toBe(22);
  });

  test('show every single wrong character', () => {
    const alphabet = '23456789CDFHJKMPRTVWXY';
    for (const code of codes.slice(0, 50)) {
      for (let i = 0; i < code.length; i++) {
        if (code[i] === '-') continue;
        for (const other of alphabet) {
          if (other === code[i]) continue;
          expect(isKitCode(code.slice(0, i) + other + code.slice(i + 1))).toBe(false);
        }
      }
    }
  });

  test('show every swap of two neighbours', () => {
    let swaps = 0;
    for (const code of codes) {
      const plain = code.replace('-', '');
      for (let i = 0; i + 1 < plain.length; i++) {
        if (plain[i] === plain[i + 1]) continue;
        const swapped = `${plain.slice(0, i)}${plain[i + 1]!}${plain[i]!}${plain.slice(i + 2)}`;
        expect(isKitCode(`${swapped.slice(0, 4)}-${swapped.slice(4)}`)).toBe(false);
        swaps += 1;
      }
    }
    expect(swaps).toBeGreaterThan(10_000);
  });
});

test.each(['', 'K7F3', 'K7F39XMT', 'k7f3-9xmt', '../../etc', '7KMP-4XCW-2', '0000-0000'])(
  '%j is no code',
  text => {
    expect(isKitCode(text)).toBe(false);
  },
);

test('no text at all makes the check fail with an error', () => {
  fc.assert(
    fc.property(fc.string(), text => {
      expect(typeof isKitCode(text)).toBe('boolean');
    }),
    { seed: 1 },
  );
});
