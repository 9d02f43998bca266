/** No flag and no study file switches a gate off: every option of every command is walked. */
import { existsSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UserError } from '../../src/errors.js';
import { prepareKit } from '../../src/io/make-kit.js';
import { GATES, MOST_MINUTES, VOICE_DBA } from '../../src/levels/limits.js';
import { softknock, temporaryFolder, TODAY } from '../helpers/cli.js';

const folder = await temporaryFolder();

/** One quick scan, and whatever its plan says. */
function studyWith(name: string, plan: string): string {
  const file = path.join(folder, name);
  writeFileSync(
    file,
    `softknock: 1
study: { name: Gate study, contact: { email: test@example.org } }
scanner: { MagneticFieldStrength: 3 }
scans:
  - { name: field, type: field-map-gradient-echo, Duration: 20 }
plan:
${plan}`,
  );
  return file;
}

const LOUD = studyWith(
  'loud.yaml',
  "  ceiling: { laeqDba: 80, approvedBy: A. Udiologist, reason: test, date: '2027-01-05' }\n",
);

/** The options of a command, as its help lists them. */
async function optionsOf(
  command: string,
): Promise<readonly (readonly [string, string | undefined])[]> {
  const { out } = await softknock(command, '--help');
  return [...out.matchAll(/^ {2}(?:-\w, )?(--[\w-]+)(?: <([^>]+)>)?/gm)]
    .map(([, name, argument]) => [name!, argument] as const)
    .filter(([name]) => name !== '--help');
}

async function commands(): Promise<readonly string[]> {
  const { out } = await softknock('--help');
  const list = out.slice(out.indexOf('Commands:')).split('\n\n')[0]!;
  return [...list.matchAll(/^ {2}(\w+)/gm)]
    .map(([, name]) => name!)
    .filter(name => name !== 'help');
}

/** A value that an option takes, by what its help calls it. */
const valueFor = (argument: string): string =>
  ({ years: '30', date: '2027-06-14', id: 'F9', folder: path.join(folder, 'out') })[argument] ??
  '1';

test('the commands are found, and none has an option that names a limit, a gate or force', async () => {
  const names = await commands();
  expect(names).toEqual(expect.arrayContaining(['kit', 'verify', 'measure', 'exposure']));
  for (const name of names) {
    const options = await optionsOf(name);
    if (name === 'kit') expect(options.length).toBeGreaterThan(5);
    for (const [option] of options) {
      expect(option, name).not.toMatch(
        /force|unsafe|override|allow|ignore|disable|skip|gate|limit|ceiling|louder|gain|^--no-(?!cache$)/,
      );
    }
  }
});

describe('a study that asks for too much is refused', () => {
  test('with each option of every command that builds kits, alone and all together', async () => {
    const options = await optionsOf('kit');
    const given = options.map(([name, argument]) =>
      argument === undefined ? [name] : [name, valueFor(argument)],
    );
    // Each alone, every two, and all of them.
    const pairs = given.flatMap((one, i) => given.slice(i + 1).map(other => [...one, ...other]));
    for (const extra of [...given, ...pairs, given.flat()]) {
      const out = path.join(folder, 'refused');
      const where = extra.includes('--out') ? [] : ['--out', out];
      const { status, err } = await softknock('kit', LOUD, ...extra, ...where);
      // 2: the value made up for an option is none that it takes.
      expect([2, 3], extra.join(' ')).toContain(status);
      if (status === 3) expect(err).toContain('80 dBA');
      expect(existsSync(out)).toBe(false);
      expect(existsSync(path.join(folder, 'out'))).toBe(false);
    }
  }, 60_000);

  test.each(['--force', '--unsafe', '--no-limits', '--ceiling=80', '--yes'])(
    'with %s, which no command knows',
    async flag => {
      expect((await softknock('kit', LOUD, flag)).status).toBe(2);
    },
  );
});

/** What may stand for a number in a study file: mostly one that it takes. */
const scalar = (min: number, max: number) =>
  fc.oneof(
    { weight: 8, arbitrary: fc.double({ min, max, noNaN: true }).map(x => x.toFixed(2)) },
    { weight: 1, arbitrary: fc.double({ min: -100, max: 200, noNaN: true }).map(String) },
    {
      weight: 1,
      arbitrary: fc.constantFrom('.nan', '.inf', '-.inf', '1e308', 'null', 'yes', '"70"', '0x46'),
    },
  );

const ceiling = fc
  .tuple(scalar(40, 73), fc.boolean())
  .map(([level, isApproved]) =>
    isApproved
      ? `{ laeqDba: ${level}, approvedBy: N, reason: R, date: '2027-01-05' }`
      : `{ laeqDba: ${level} }`,
  );

/** There or not; rarely there for what no study file has. */
const maybe = (value: fc.Arbitrary<string>) => fc.option(value, { freq: 1, nil: undefined });

const planText = fc
  .record({
    startOffsetDb: maybe(scalar(-30, -3)),
    stepDb: maybe(scalar(0.5, 3)),
    sessionsPerDay: maybe(fc.constantFrom('1', '2', '3', '1000')),
    minutesPerDay: maybe(scalar(1, 20)),
    ageBand: maybe(fc.constantFrom('adult', "'14-17'", "'0-1'", 'child')),
    asleep: maybe(fc.constantFrom('true', 'false')),
    soundSensitive: maybe(fc.constantFrom('true', 'false')),
    ceiling: maybe(ceiling),
    gates: fc.oneof(
      { weight: 9, arbitrary: fc.constant(undefined) },
      { weight: 1, arbitrary: fc.constantFrom('off', 'false') },
    ),
  })
  .map(plan =>
    Object.entries(plan)
      .filter(([, value]) => value !== undefined)
      .map(([key, value]) => `  ${key}: ${value!}\n`)
      .join(''),
  );

test('whatever a study file says of its plan, its kits are within the gates or refused', async () => {
  let built = 0;
  await fc.assert(
    fc.asyncProperty(
      planText,
      fc.constantFrom(undefined, 0.5, 5, 8, 16, 40),
      fc.constantFrom(undefined, '2027-05-25', '2027-08-01'),
      async (plan, ageYears, scanDate) => {
        const studyFile = studyWith('any.yaml', plan === '' ? '  {}\n' : plan);
        const request = {
          studyFile,
          family: 'F1',
          ageYears,
          scanDate,
          wav: false,
          disc: false,
          small: false,
          today: TODAY,
        };
        let kit;
        try {
          kit = (await prepareKit(request)).kitPlan;
        } catch (error) {
          // In words, never as a fault.
          expect(error).toBeInstanceOf(UserError);
          return;
        }
        built += 1;
        const gates = GATES[kit.listener];
        if (ageYears !== undefined && ageYears < 18) expect(kit.listener).toBe('child');
        const { steps, sessions } = kit.plan;
        for (const { levelDb, onsetSeconds } of steps) {
          expect(VOICE_DBA.high + levelDb).toBeLessThanOrEqual(gates.laeqDba + 1e-6);
          expect(onsetSeconds).toBeGreaterThanOrEqual(0.05);
        }
        if (kit.ceiling.laeqDba > 65) expect(kit.ceiling.raisedBy).not.toBeNull();
        for (const { day } of sessions) {
          const minutes = sessions
            .filter(other => other.day === day)
            .flatMap(({ step }) => steps.find(({ number }) => number === step)!.sounds)
            .reduce((sum, { durationSeconds }) => sum + durationSeconds / 60, 0);
          expect(minutes).toBeLessThanOrEqual(MOST_MINUTES.perDay + 1e-6);
        }
      },
    ),
    { seed: 2, numRuns: 30, endOnFailure: true },
  );
  expect(built).toBeGreaterThan(5);
}, 120_000);
