/**
 * What `softknock kit --preview` prints: the plan, before any audio is made.
 *
 * @module
 */
import type { PreparedKit } from '../io/make-kit.js';
import { secondsOfSound, stepDurationSeconds } from '../plan/layout.js';
import { planSpan, signedDb } from '../plan/plan-words.js';
import { formatClock } from './format.js';
import { planChart } from './plan-chart.js';
import { formatTable } from './table.js';

/** Table and chart for a terminal of a width in characters. */
export function previewReport({ kitPlan }: PreparedKit, columns: number): string {
  const { code, plan, ranking, constants, ceiling } = kitPlan;
  const who = plan.ageBand === 'adult' ? 'an adult' : `${plan.ageBand} years`;
  const steps = formatTable(
    [
      { title: 'step', right: true },
      { title: plan.startDate === null ? 'day' : 'first day' },
      { title: 'new' },
      { title: 're talk', right: true },
      { title: 'sounds', right: true },
      { title: 'onset', right: true },
      { title: 'softness', right: true },
      { title: 'sound', right: true },
      { title: 'length', right: true },
    ],
    plan.steps.map(step => {
      const first = plan.sessions.find(session => session.step === step.number)!;
      return [
        String(step.number),
        first.date ?? String(first.day),
        step.change,
        `${signedDb(step.levelDb)} dB`,
        String(step.sounds.length),
        `${step.onsetSeconds} s`,
        step.softness === 0 ? 'full' : String(step.softness),
        formatClock(secondsOfSound(step)),
        formatClock(stepDurationSeconds(step, constants.layout)),
      ];
    }),
  );
  const sounds = formatTable(
    [
      { title: 'sound' },
      { title: 'hardness', right: true },
      { title: 'sone', right: true },
      { title: 'acum', right: true },
      { title: 'asper', right: true },
      { title: 'start', right: true },
      { title: 'later', right: true },
    ],
    ranking.map(sound => [
      sound.name,
      sound.hardness.toFixed(1),
      sound.loudnessSone.toFixed(1),
      sound.sharpnessAcum.toFixed(2),
      sound.roughnessAsper.toFixed(2),
      `${sound.startDb.toFixed(0)} dB`,
      `${sound.laterDb.toFixed(0)} dB`,
    ]),
  );
  return `Plan of kit ${code} for ${who} (${plan.preset}): nothing was written
${plan.steps.length} steps, ${plan.sessions.length} sessions, ${planSpan(plan)}. Ceiling: ${ceiling.laeqDba} dBA.

${planChart(plan, columns)}

${steps}
Sounds from gentle to hard, compared at 60 dBA:

${sounds}
Hardness: loudness, sharpness, roughness and suddenness (dB within 50 ms) in one number. It is a
proposal; plan.order in the study file puts the sounds into another order.
`;
}

/** One JSON document. */
export function previewJson({ kitPlan, warnings }: PreparedKit): string {
  const { code, plan, ranking, ceiling } = kitPlan;
  return `${JSON.stringify(
    {
      kit: code,
      ageBand: plan.ageBand,
      preset: plan.preset,
      ceiling,
      days: plan.days,
      startDate: plan.startDate,
      scanDate: plan.scanDate,
      steps: plan.steps.map(({ levelDb, onsetSeconds, sounds, interludes, ...step }) => ({
        ...step,
        plannedOffsetDb: levelDb,
        onsetSeconds: onsetSeconds,
        sounds: sounds.map(({ durationSeconds, ...sound }) => ({
          ...sound,
          durationSeconds: durationSeconds,
        })),
        interludes: interludes.map(({ durationSeconds, ...other }) => ({
          ...other,
          durationSeconds: durationSeconds,
        })),
      })),
      sessions: plan.sessions,
      droppedSteps: plan.droppedSteps.length,
      ranking: ranking.map(({ name, ...numbers }) => ({ scan: name, ...numbers })),
      warnings,
    },
    null,
    2,
  )}\n`;
}
