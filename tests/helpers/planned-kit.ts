/** A kit's manifest without its audio: what a plan alone decides, levels as planned. */
import { firstVersion, usedConstants } from '../../src/kit/manifest/build-manifest.js';
import { kitCode } from '../../src/kit/kit-code.js';
import { VOICE_LAEQ_DBFS } from '../../src/kit/audio/levelled-sounds.js';
import { manifestStep, withDoses } from '../../src/kit/manifest/manifest-step.js';
import type { Manifest } from '../../src/kit/manifest/manifest.js';
import { VOICE_DBA } from '../../src/levels/limits.js';
import { layoutStep } from '../../src/plan/layout.js';
import { makePlan } from '../../src/plan/make-plan.js';
import type { Step } from '../../src/plan/plan.js';
import type { Preset } from '../../src/protocol/plan-preset.js';
import type { AgeBand, HardSound } from '../../src/protocol/plan-settings.js';
import { soundOf } from '../../src/signal/sound.js';
import { presetOf } from './plan-constants.js';
import { sampleManifest } from './sample-kit.js';
import { sha256 } from './small-kit.js';

export interface PlannedFamily {
  readonly ageBand: AgeBand;
  readonly preset?: Preset;
  readonly hardSounds?: readonly HardSound[];
  readonly startDate: string;
  readonly scanDate: string;
}

/** Eight invented scans, gentlest first. */
const SCANS = ['star', 'map', 'moon', 'comet', 'rocket', 'hum', 'film', 'knock'];

export function plannedManifest(id: string, family: PlannedFamily): Manifest {
  const preset = presetOf(family.ageBand, family.preset);
  const plan = makePlan({
    scans: SCANS.map(name => ({ name, durationSeconds: 200 })),
    gentleOrder: SCANS,
    hardSounds: family.hardSounds ?? [],
    ceilingDb: family.preset === 'asleep' ? -10 : 5,
    preset,
    today: '2027-01-01',
    startDate: family.startDate,
    scanDate: family.scanDate,
  });
  const { sessions, days, startDate, scanDate } = plan;
  const { layout } = preset.constants;
  const steps = plan.steps.map(step => withoutAudio(step, layout));
  return sampleManifest({
    kit: kitCode('planned', id, sha256),
    ageBand: plan.ageBand,
    preset: plan.preset,
    steps: withDoses(steps, sessions, 'child', VOICE_DBA),
    sessions,
    plan: {
      days,
      startDate,
      scanDate,
      droppedSteps: plan.droppedSteps.length,
      constants: usedConstants(preset),
    },
    history: [firstVersion(plan)],
  });
}

/** A step of the manifest whose sounds measure what was planned. */
export function withoutAudio(step: Step, layout: Parameters<typeof layoutStep>[1]) {
  const { durationSeconds, parts } = layoutStep(step, layout);
  const timed = parts.filter(({ kind }) => kind === 'sound');
  const silence = soundOf(new Float64Array(1));
  const audio = {
    sound: silence,
    durationSeconds,
    voice: { startSeconds: 2, endSeconds: 3.7, offsetDb: 0 },
    interludes: [],
    sounds: step.sounds.map(({ scan, softness }, i) => ({
      scan,
      softness,
      startSeconds: timed[i]!.startSeconds,
      endSeconds: timed[i]!.endSeconds,
      sound: silence,
      gain: 1,
      offsetDb: step.levelDb,
      lafmaxOffsetDb: step.levelDb + 3,
      truePeakDbtp: VOICE_LAEQ_DBFS + step.levelDb + 12,
      loweredDb: 0,
    })),
  };
  const file = `steps/step-${step.number}.mp3`;
  return manifestStep({ step, audio, file, sha256: 'e'.repeat(64) }, new Map(), VOICE_DBA);
}
