/** `softknock kit --preview`: the plan in the terminal, as JSON and as a page. */
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { planChart } from '../../src/cli/plan-chart.js';
import { makePlan } from '../../src/plan/make-plan.js';
import { softknock, softknockJson, temporaryFolder } from '../helpers/cli.js';
import { presetOf } from '../helpers/plan-constants.js';
import { NIGHT_SKY } from '../helpers/study.js';

const folder = await temporaryFolder();
// The same sounds again and again: they are listened to once.
process.env['SOFTKNOCK_CACHE'] = path.join(folder, 'cache');
const out = path.join(folder, 'out');
const page = path.join(folder, 'plan.html');
const preview = ['kit', NIGHT_SKY, '--age', '7', '--scan-date', '2027-06-20', '--preview'];

describe('a preview', () => {
  test('shows chart, steps and ranking, writes the page and no kit', async () => {
    const { status, out: text } = await softknock(...preview, '--out', out, '--html', page);
    expect(status).toBe(0);
    expect(text).toContain('nothing was written');
    expect(text).toMatch(/^ {2}-18 │●/m);
    expect(text).toMatch(/^ {3}1 {2}2027-\d\d-\d\d {2}start/m);
    // Every scan has its place, from gentle to hard.
    const ranked = text.slice(text.indexOf('Sounds from gentle'));
    const hardness = [...ranked.matchAll(/^[a-z0-9-]+ +(\d+\.\d) /gm)].map(([, n]) => Number(n));
    expect(hardness).toHaveLength(8);
    expect(hardness).toEqual(hardness.toSorted((a, b) => a - b));
    expect(existsSync(out)).toBe(false);

    const html = readFileSync(page, 'utf8');
    expect(html).toContain("default-src 'none'");
    const sessions = Number(/(\d+) sessions/.exec(text)![1]);
    expect([...html.matchAll(/<circle/g)]).toHaveLength(sessions);
    // A page that is there is left alone.
    expect((await softknock(...preview, '--html', page)).status).toBe(2);
  });

  test('is the plan as JSON', async () => {
    const plan = await softknockJson<{
      steps: { number: number; plannedOffsetDb: number }[];
      sessions: { step: number }[];
      ranking: { scan: string }[];
    }>(...preview);
    expect(plan.steps[0]).toMatchObject({ number: 1, plannedOffsetDb: -18 });
    expect(plan.sessions.at(-1)!.step).toBe(plan.steps.at(-1)!.number);
    expect(plan.ranking).toHaveLength(8);
  });
});

test('what is hard for one child is left out, softened or graded alone in its plan', async () => {
  const hard = ['--hard', 'diffusion=alone', '--hard', 't2-brain=leave-out'];
  const { steps } = await softknockJson<{
    steps: { change: string; sounds: { scan: string }[] }[];
  }>('kit', NIGHT_SKY, '--age', '7', '--scan-date', '2027-12-01', '--preview', ...hard);
  expect(steps.map(({ change }) => change)).toEqual(expect.arrayContaining(['alone', 'together']));
  const heard = new Set(steps.flatMap(({ sounds }) => sounds.map(({ scan }) => scan)));
  expect(heard.has('diffusion')).toBe(true);
  expect(heard.has('t2-brain')).toBe(false);
  const unknown = await softknock(...preview, '--hard', 'difusion=alone');
  expect(unknown.status).toBe(2);
  expect(unknown.err).toContain('Did you mean diffusion?');
});

describe('the chart', () => {
  const plan = makePlan({
    scans: [{ name: 'a', durationSeconds: 60 }],
    gentleOrder: ['a'],
    ceilingDb: 5,
    preset: presetOf('7-9'),
    today: '2027-03-01',
  });

  test('has a mark on each day of practice, on the line of its level', () => {
    const lines = planChart(plan, 80).split('\n');
    const levels = new Map(plan.steps.map(({ number, levelDb }) => [number, levelDb]));
    for (const { day, step } of plan.sessions) {
      const level = levels.get(step)!;
      const line = lines.find(text => text.trim().startsWith(`${level > 0 ? '+' : ''}${level} │`))!;
      expect(line[line.indexOf('│') + day]).toBe('●');
    }
    const marks = lines.join('').match(/●/g)!;
    expect(marks).toHaveLength(new Set(plan.sessions.map(({ day }) => day)).size);
  });

  test.each([20, 40, 80, 200])('fits into %d columns', columns => {
    const far = { ...plan, days: 300 };
    for (const line of planChart(far, columns).split('\n').slice(0, -2)) {
      expect(line.length).toBeLessThanOrEqual(Math.max(columns, 27));
    }
  });
});
