/** What is decided, and refused, before a kit is made. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.js';
import { planKit } from '../../src/kit/plan-kit.js';
import { GATES, VOICE_DBA } from '../../src/levels/limits.js';
import type { PlanSettings } from '../../src/protocol/plan-settings.js';
import { refusal } from '../helpers/refusal.js';
import { sha256, smallInputs } from '../helpers/small-kit.js';

/** With an order by staff, so that nothing needs to be listened to. */
const decide = (plan: PlanSettings = {}, family = {}) =>
  planKit(smallInputs({ order: ['hum', 'thump', 'buzz'], ...plan }, family), sha256);

const APPROVAL = { approvedBy: 'A. Udiologist', reason: 'calibrated', date: '2027-01-05' };

describe('limits', () => {
  test('a ceiling that could be too loud for a child is refused, naming limit, wish and what is allowed', () => {
    const error = refusal(() => decide({ ceiling: { laeqDba: 70, ...APPROVAL } }));
    expect(error.code).toBe('UNSAFE');
    expect(error.exitCode).toBe(3);
    expect(error.problems[0]!.where).toBe('study.yaml:9 plan.ceiling');
    expect(error.problems[0]!.found).toContain('70 dBA');
    expect(error.problems[0]!.allowed).toContain('at most 67 dBA');
    expect(error.problems[0]!.allowed).toContain('75 dBA');
  });

  test('an adult may have more', () => {
    const ceiling = { laeqDba: 70, ...APPROVAL };
    const { listener, plan } = decide({ ceiling }, { ageBand: 'adult' });
    expect(listener).toBe('adult');
    expect(plan.steps.at(-1)!.levelDb).toBe(10);
  });

  test('a raised ceiling is warned of, with who approved it', () => {
    const { warnings, plan } = decide({ ceiling: { laeqDba: 67, ...APPROVAL } });
    expect(warnings.join()).toContain('67 dBA, above the default of 65 dBA');
    expect(warnings.join()).toContain('A. Udiologist on 2027-01-05');
    expect(plan.steps.at(-1)!.levelDb).toBe(7);
  });

  test('a lower ceiling ends the ladder there', () => {
    expect(decide({ ceiling: { laeqDba: 58 } }).plan.steps.at(-1)!.levelDb).toBe(-2);
    expect(decide({ ceiling: { laeqDba: 35 } }).plan.steps.map(s => s.levelDb)).toSatisfy(
      (levels: number[]) => levels.every(level => level === -25),
    );
  });

  test('no setting makes a step whose upper end passes the gate', () => {
    fc.assert(
      fc.property(
        fc.record({
          startOffsetDb: fc.double({ min: -60, max: 30 }),
          stepDb: fc.double({ min: 0.5, max: 30 }),
          ceiling: fc.record({
            laeqDba: fc.double({ min: 0, max: 140 }),
            approvedBy: fc.constant('x'),
            reason: fc.constant('x'),
            date: fc.constant('2027-01-01'),
          }),
        }),
        fc.constantFrom('4-6' as const, '14-17' as const, 'adult' as const),
        (settings, ageBand) => {
          let result;
          try {
            result = decide(settings, { ageBand });
          } catch (error) {
            // Refused in words or, for numbers that no study file can hold, as a range.
            expect(error instanceof UserError || error instanceof RangeError).toBe(true);
            return;
          }
          const loudest = Math.max(...result.plan.steps.map(({ levelDb }) => levelDb));
          const gate = GATES[ageBand === 'adult' ? 'adult' : 'child'].laeqDba;
          expect(VOICE_DBA.high + loudest).toBeLessThanOrEqual(gate + 1e-9);
          expect(VOICE_DBA.expected + loudest).toBeLessThanOrEqual(settings.ceiling.laeqDba + 1e-9);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });
});

describe('the plan', () => {
  test('a sound-sensitive child gets a softer plan, by the study or by what the family says', () => {
    for (const kit of [
      decide({ soundSensitive: true }),
      decide({}, { preset: 'sound-sensitive' }),
    ]) {
      expect(kit.plan.preset).toBe('sound-sensitive');
      expect(kit.plan.steps[0]!.levelDb).toBe(-24);
      expect(kit.warnings.join()).toContain('specialist');
    }
  });

  test('over sleep, no step passes 50 dBA, no approval raises that, and the short voice is as soft as the softest step', () => {
    const ceiling = { laeqDba: 67, ...APPROVAL };
    for (const kit of [
      decide({ asleep: true, ceiling }),
      decide({ ceiling, soundSensitive: true }, { preset: 'asleep' }),
      decide({ ceiling }, { ageBand: '0-1' }),
    ]) {
      expect(kit.plan.preset).toBe('asleep');
      expect(kit.ceiling).toEqual({ laeqDba: 50, raisedBy: null });
      expect(Math.max(...kit.plan.steps.map(({ levelDb }) => levelDb))).toBe(-10);
      // Our own default for the first step over sleep, in `defaults.yaml`.
      expect(kit.plan.steps[0]!.levelDb).toBe(-25);
      expect(kit.voiceOffsetDb).toBe(-25);
    }
  });

  test('nothing but table motion and pauses is refused', () => {
    const inputs = smallInputs();
    const study = { ...inputs.study, scans: [] };
    expect(refusal(() => planKit({ ...inputs, study }, sha256)).message).toContain('nothing to');
  });

  test('a sound that staff find hard is left out', () => {
    const { plan } = decide({ hardSounds: [{ scan: 'buzz', how: 'leave-out' }] });
    expect(plan.steps.at(-1)!.sounds.map(({ scan }) => scan)).toEqual(['hum', 'thump']);
  });

  test('scans that are left out are not heard', () => {
    const { plan } = decide({ leaveOut: ['thump'] });
    expect(plan.steps.at(-1)!.sounds.map(({ scan }) => scan)).toEqual(['hum', 'buzz']);
  });

  test('staff say what is gentle; the others follow by how hard they sound', () => {
    const heard = (plan: PlanSettings) => decide(plan).plan.steps[1]!.sounds.map(s => s.scan);
    expect(heard({ order: ['buzz', 'thump', 'hum'] })).toEqual(['buzz', 'thump', 'hum']);
    const ranking = decide({ order: [] }).ranking.map(({ name }) => name);
    expect(heard({ order: [] })).toEqual(ranking);
    expect(heard({ order: ['buzz'] })).toEqual([
      'buzz',
      ...ranking.filter(name => name !== 'buzz'),
    ]);
  });

  test('the last step is in the order of the scan day', () => {
    const { plan } = decide({ order: ['thump', 'buzz', 'hum'] });
    expect(plan.steps.at(-1)).toMatchObject({ change: 'order', order: 'protocol' });
    expect(plan.steps.at(-1)!.sounds.map(({ scan }) => scan)).toEqual(['hum', 'buzz', 'thump']);
  });

  test('a missing approval is warned of', () => {
    const inputs = smallInputs();
    const study = { ...inputs.study, approval: null };
    expect(planKit({ ...inputs, study }, sha256).warnings.join()).toContain('draft');
    expect(planKit(inputs, sha256).warnings).toEqual([]);
  });

  test('a near scan day drops steps, and the warnings say so', () => {
    const { plan, warnings } = decide({}, { scanDate: '2027-03-09' });
    expect(plan.steps.length).toBeLessThan(12);
    expect(warnings.join()).toContain('left out');
  });
});

test('the code depends on seed and family alone', () => {
  const code = decide().code;
  expect(decide({ stepDb: 2 }, { scanDate: '2027-06-01' }).code).toBe(code);
  expect(decide({}, { id: 'F2' }).code).not.toBe(code);
});

describe("a family's device that was measured", () => {
  const measuredDevice = {
    voiceDba: 61,
    device: 'Study tablet 3',
    by: 'A. Name',
    date: '2027-02-20',
  };

  test('may have a higher ceiling below the same gate, and its levels are stated closer', () => {
    const ceiling = { laeqDba: 70, ...APPROVAL };
    expect(refusal(() => decide({ ceiling })).problems[0]!.fix).toContain('--voice-dba');
    const kit = decide({ ceiling }, { measuredDevice });
    expect(kit.voiceDba).toEqual({ low: 58, expected: 61, high: 64 });
    const loudest = Math.max(...kit.plan.steps.map(({ levelDb }) => levelDb));
    expect(kit.voiceDba.expected + loudest).toBe(70);
    expect(kit.voiceDba.high + loudest).toBeLessThanOrEqual(GATES.child.laeqDba);
  });

  test('changes nothing without an approved ceiling, and cannot lift the gate', () => {
    const loudest = Math.max(
      ...decide({}, { measuredDevice }).plan.steps.map(({ levelDb }) => levelDb),
    );
    expect(61 + loudest).toBe(65);
    const ceiling = { laeqDba: 73, ...APPROVAL };
    expect(refusal(() => decide({ ceiling }, { measuredDevice })).exitCode).toBe(3);
  });

  test('changes nothing over sleep', () => {
    const kit = decide({ asleep: true }, { measuredDevice });
    expect(kit.measuredDevice).toBeNull();
    expect(kit.voiceDba).toEqual(VOICE_DBA);
  });

  test('is refused when it is not as loud as talk', () => {
    for (const voiceDba of [50, 68, Number.NaN]) {
      const wrong = { ...measuredDevice, voiceDba };
      expect(refusal(() => decide({}, { measuredDevice: wrong })).exitCode).toBe(3);
    }
  });
});
