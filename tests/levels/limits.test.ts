/** Ceilings and gates. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { UserError } from '../../src/errors.js';
import { ceilingInForce, GATES, offsetLimits, VOICE_DBA } from '../../src/levels/limits.js';
import { refusal } from '../helpers/refusal.js';

const WHERE = 'study.yaml:9 plan.ceiling';
const APPROVAL = { approvedBy: 'A. Udiologist', reason: 'calibrated', date: '2027-01-05' };

describe('the ceiling', () => {
  test('is 65 dBA unless a study says otherwise', () => {
    expect(ceilingInForce(undefined, 'child', WHERE)).toEqual({ laeqDba: 65, raisedBy: null });
  });

  test('may be lower without a word, higher with a name, a reason and a date', () => {
    expect(ceilingInForce({ laeqDba: 55 }, 'child', WHERE).laeqDba).toBe(55);
    expect(ceilingInForce({ laeqDba: 67, ...APPROVAL }, 'child', WHERE)).toEqual({
      laeqDba: 67,
      raisedBy: { name: 'A. Udiologist', reason: 'calibrated', date: '2027-01-05' },
    });
    for (const missing of ['approvedBy', 'reason', 'date']) {
      const settings = { laeqDba: 66, ...APPROVAL, [missing]: undefined };
      expect(refusal(() => ceilingInForce(settings as never, 'child', WHERE)).code).toBe('UNSAFE');
    }
  });

  test.each([
    ['child', 67.01, 67],
    ['child', 80, 67],
    ['adult', 72.5, 72],
    ['child', Number.NaN, 67],
    ['child', Infinity, 67],
  ] as const)(
    'for a %s of %d dBA is refused, naming %d as allowed',
    (listener, laeqDba, allowed) => {
      const error = refusal(() => ceilingInForce({ laeqDba, ...APPROVAL }, listener, WHERE));
      expect(error.code).toBe('UNSAFE');
      expect(error.exitCode).toBe(3);
      expect(error.problems[0]!.where).toBe(WHERE);
      expect(error.problems[0]!.found).toContain(`${laeqDba} dBA`);
      expect(error.problems[0]!.allowed).toContain(`at most ${allowed} dBA`);
    },
  );

  test('a device that was measured has a narrower interval and so more room below the same gate', () => {
    const measured = { low: 57, expected: 60, high: 63 };
    const settings = { laeqDba: 72, ...APPROVAL };
    expect(ceilingInForce(settings, 'child', WHERE, measured).laeqDba).toBe(72);
    expect(
      refusal(() => ceilingInForce({ ...settings, laeqDba: 73 }, 'child', WHERE, measured)).code,
    ).toBe('UNSAFE');
  });
});

test('whatever is asked for, the upper end of what is allowed stays below every gate', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -100, max: 200 }),
      fc.constantFrom('child' as const, 'adult' as const),
      fc.double({ min: 0, max: 12, noNaN: true }),
      (laeqDba, listener, half) => {
        const voice = { low: 60 - half, expected: 60, high: 60 + half };
        let limits;
        try {
          const ceiling = ceilingInForce({ laeqDba, ...APPROVAL }, listener, WHERE, voice);
          limits = offsetLimits(ceiling, listener, voice);
        } catch (error) {
          expect((error as UserError).code).toBe('UNSAFE');
          return;
        }
        const gates = GATES[listener];
        // Sums of decimal fractions are off by their binary rounding.
        expect(voice.high + limits.laeqDb).toBeLessThanOrEqual(gates.laeqDba + 1e-9);
        expect(voice.high + limits.lafmaxDb).toBeLessThanOrEqual(gates.lafmaxDba + 1e-9);
        expect(voice.high + limits.lcpeakDb).toBeLessThanOrEqual(gates.lcpeakDbc + 1e-9);
        expect(limits.laeqDb).toBeLessThanOrEqual(laeqDba - 60);
      },
    ),
    { seed: 1, numRuns: 500 },
  );
});

test('by default a sound may be 5 dB over the voice, its FAST maximum 11 dB', () => {
  const limits = offsetLimits(ceilingInForce(undefined, 'child', WHERE), 'child');
  expect(limits).toEqual({ laeqDb: 5, lafmaxDb: 11, lcpeakDb: 42 });
  expect(VOICE_DBA).toEqual({ low: 52, expected: 60, high: 68 });
});
