/** Ceilings and gates. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { UserError } from '../../src/errors.js';
import {
  ASLEEP_CEILING_DBA,
  ceilingInForce,
  ceilingOverSleep,
  GATES,
  METERED_DB,
  MOST_MINUTES,
  offsetLimits,
  VOICE_DBA,
} from '../../src/levels/limits.js';
import { MARKED_VOICE_DBA, voiceLevel } from '../../src/levels/measured-device.js';
import { planConstants } from '../helpers/plan-constants.js';
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

  test('names limit, wish, what is allowed, and what a measured device would be allowed', () => {
    const [problem] = refusal(() =>
      ceilingInForce({ laeqDba: 71.3, ...APPROVAL }, 'child', WHERE),
    ).problems;
    expect(problem!.found).toContain('a ceiling of 71.3 dBA, which may be 79.3 dBA');
    expect(problem!.found).toContain('set by ear: give or take 8 dB');
    expect(problem!.allowed).toContain(
      'at most 67 dBA, so that a child never gets more than 75 dBA',
    );
    expect(problem!.fix).toContain('measured with a meter (kit --voice-dba) may have 72 dBA');
    expect(problem!.fix).toContain('cannot be switched off');
  });

  test('over sleep is 50 dBA or less, and no approval raises it', () => {
    expect(ASLEEP_CEILING_DBA).toBe(50);
    const raised = ceilingInForce({ laeqDba: 67, ...APPROVAL }, 'child', WHERE);
    expect(ceilingOverSleep(raised)).toEqual({ laeqDba: 50, raisedBy: null });
    expect(ceilingOverSleep({ laeqDba: 42, raisedBy: null })).toEqual({
      laeqDba: 42,
      raisedBy: null,
    });
  });
});

describe('a device that was measured with a meter', () => {
  const measured = (voiceDba: number) => {
    return { voiceDba, device: 'tablet', by: 'M. Eter', date: '2027-01-05' };
  };
  const ceiling = (laeqDba: number, voiceDba: number, listener: 'child' | 'adult') =>
    ceilingInForce(
      { laeqDba, ...APPROVAL },
      listener,
      WHERE,
      voiceLevel(measured(voiceDba), '--measured-level'),
    );

  test('is good to 3 dB, where setting by ear is good to 8', () => {
    expect(voiceLevel(undefined, '')).toEqual({ low: 52, expected: 60, high: 68 });
    expect(voiceLevel(null, '')).toEqual(VOICE_DBA);
    expect(voiceLevel(measured(61), '')).toEqual({ low: 58, expected: 61, high: 64 });
  });

  test.each([
    ['child', 72, 73],
    ['adult', 77, 78],
  ] as const)('allows a %s %d dBA below the same gate, and not %d', (listener, most, more) => {
    expect(ceiling(most, 60, listener).laeqDba).toBe(most);
    const error = refusal(() => ceiling(more, 60, listener));
    expect(error.code).toBe('UNSAFE');
    expect(error.problems[0]!.found).toContain('measured with a meter: give or take 3 dB');
    expect(error.problems[0]!.allowed).toContain(`at most ${most} dBA`);
    expect(error.problems[0]!.fix).not.toContain('may have');
  });

  test.each([56.9, 63.1, 40, 80, Number.NaN])(
    'is refused when its mark, %d dBA, is not that of talk',
    voiceDba => {
      const error = refusal(() => voiceLevel(measured(voiceDba), '--measured-level'));
      expect(error.exitCode).toBe(3);
      expect(error.problems[0]).toMatchObject({ where: '--measured-level' });
      expect(error.problems[0]!.found).toContain(`${voiceDba} dBA`);
      expect(error.problems[0]!.allowed).toContain('57 to 63 dBA');
    },
  );

  test('whatever its mark, stays below every gate itself', () => {
    for (const { laeqDba, lafmaxDba } of Object.values(GATES)) {
      expect(MARKED_VOICE_DBA.max + METERED_DB).toBeLessThan(laeqDba);
      expect(VOICE_DBA.high).toBeLessThan(laeqDba);
      // Steady noise: its FAST maximum is 1 dB above its level.
      expect(VOICE_DBA.high + 1).toBeLessThan(lafmaxDba);
    }
  });
});

test('the shipped plan never has more minutes than are allowed', () => {
  expect(planConstants.minutesPerDay).toBeLessThanOrEqual(MOST_MINUTES.perDay);
  expect(planConstants.minutesPerWeek).toBeLessThanOrEqual(MOST_MINUTES.perWeek);
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
  expect(limits).toEqual({ laeqDb: 5, lafmaxDb: 11, lcpeakDb: 42, shortDb: 15 });
  expect(VOICE_DBA).toEqual({ low: 52, expected: 60, high: 68 });
});
