/**
 * The ladder: steps from soft to the ceiling, each different from the one before on exactly one axis.
 *
 * @module
 */
import type { BandConstants, PlanConstants, PlannedChange } from '../protocol/plan-constants.js';
import { requireInRange } from '../signal/require.js';
import { soundSeconds } from './layout.js';
import type { PlannedSound, Step, StepChange, StepOrder } from './plan.js';

/** A scan that can be heard in a plan. */
export interface LadderScan {
  readonly name: string;
  /** How long it takes on the day, in s. */
  readonly durationS: number;
}

export interface LadderInput {
  /** In the order of the scan day; at least one. */
  readonly scans: readonly LadderScan[];
  /** Names of all of them, gentlest first. */
  readonly gentleOrder: readonly string[];
  /** Highest level of a sound in dB re the voice reference. */
  readonly ceilingDb: number;
  readonly band: BandConstants;
  readonly constants: PlanConstants;
}

export interface Ladder {
  readonly steps: readonly Step[];
  readonly notes: readonly string[];
}

/** What the next step changes. */
interface State {
  readonly levelDb: number;
  readonly soundCount: number;
  readonly soundS: number;
  readonly onsetS: number;
  readonly order: StepOrder;
}

/**
 * The steps of a band for a protocol.
 *
 * @throws {RangeError} No scans, an order that does not name each scan once, or a ceiling outside
 *   -40 to 20 dB.
 */
export function buildLadder(input: LadderInput): Ladder {
  const { band, constants, ceilingDb } = input;
  requireInRange(ceilingDb, 'ceilingDb', -40, 20, 'dB re voice');
  requireOrder(input);
  const notes: string[] = [];
  const limits = fit(input, notes);
  const count = (wanted: number | 'all'): number =>
    wanted === 'all' ? limits.sounds : Math.min(wanted, limits.sounds);
  const duration = (wanted: number): number => Math.min(wanted, limits.soundS);

  let state: State = {
    levelDb: Math.min(constants.startOffsetDb, ceilingDb),
    soundCount: count(band.first.sounds),
    soundS: duration(band.first.soundSeconds),
    onsetS: band.first.onsetSeconds,
    order: 'gentle',
  };
  const steps: Step[] = [makeStep(input, state, 1, 'start')];
  const take = (change: StepChange, next: State): void => {
    const step = makeStep(input, next, steps.length + 1, change);
    const last = steps.at(-1)!;
    if (isSame(step, last)) return;
    steps.push(step);
    state = next;
  };
  const raise = (): void => {
    const levelDb = Math.min(state.levelDb + constants.stepDb, ceilingDb);
    take('level', { ...state, levelDb });
  };
  const takeChange = (change: PlannedChange): void => {
    switch (change.axis) {
      case 'level':
        raise();
        break;
      case 'sounds':
        take('sounds', { ...state, soundCount: Math.max(count(change.to), state.soundCount) });
        break;
      case 'duration':
        take('duration', { ...state, soundS: Math.max(duration(change.to), state.soundS) });
        break;
      case 'onset':
        take('onset', { ...state, onsetS: Math.min(change.to, state.onsetS) });
        break;
      case 'order':
        take('order', { ...state, order: 'protocol' });
        break;
    }
  };
  for (const change of band.changes.filter(({ axis }) => axis !== 'order')) takeChange(change);
  while (state.levelDb < ceilingDb) raise();
  for (const change of band.changes.filter(({ axis }) => axis === 'order')) takeChange(change);
  return { steps, notes };
}

function makeStep(input: LadderInput, state: State, number: number, change: StepChange): Step {
  const heard = new Set(input.gentleOrder.slice(0, state.soundCount));
  const names =
    state.order === 'gentle'
      ? input.gentleOrder.filter(name => heard.has(name))
      : input.scans.map(({ name }) => name).filter(name => heard.has(name));
  const scans = new Map(input.scans.map(scan => [scan.name, scan]));
  const sounds = names.map(name => soundOfScan(scans.get(name)!, state.soundS, input.constants));
  const { levelDb, onsetS, order } = state;
  return { number, change, levelDb, onsetS, order, sounds };
}

/** A scan is not heard for longer than it takes on the day, nor for less than the shortest sound. */
function soundOfScan(scan: LadderScan, soundS: number, constants: PlanConstants): PlannedSound {
  const ownS = Math.floor(scan.durationS * 10) / 10;
  const durationS = Math.min(soundS, Math.max(ownS, constants.shortestSoundSeconds));
  return { scan: scan.name, durationS };
}

/** Whether two steps sound the same: one scan has no order, and a short one no longer version. */
function isSame(a: Step, b: Step): boolean {
  const heard = ({ levelDb, onsetS, order, sounds }: Step): string =>
    JSON.stringify([levelDb, onsetS, sounds.length > 1 ? order : '', sounds]);
  return heard(a) === heard(b);
}

/** How many sounds, and how long each, so that even the longest step stays within the session's limit. */
function fit(input: LadderInput, notes: string[]): { sounds: number; soundS: number } {
  const { band, constants, scans } = input;
  const limitS = 60 * Math.min(band.longestSessionMinutes, constants.minutesPerDay);
  const wantedS = Math.max(
    band.first.soundSeconds,
    ...band.changes.map(change => (change.axis === 'duration' ? change.to : 0)),
  );
  const longestS = (soundCount: number, soundS: number): number => {
    const all = { levelDb: 0, soundCount, soundS, onsetS: 1, order: 'gentle' } as const;
    return soundSeconds(makeStep(input, all, 1, 'start'));
  };
  for (let soundS = wantedS; soundS >= constants.shortestSoundSeconds; soundS--) {
    if (longestS(scans.length, soundS) <= limitS) {
      if (soundS < wantedS) {
        notes.push(
          `Sounds last at most ${soundS} s instead of ${wantedS} s, so that all ${scans.length} fit into a step of ${limitS / 60} minutes.`,
        );
      }
      return { sounds: scans.length, soundS };
    }
  }
  const soundS = constants.shortestSoundSeconds;
  let sounds = scans.length - 1;
  while (sounds > 1 && longestS(sounds, soundS) > limitS) sounds--;
  const left = input.gentleOrder.slice(sounds).join(', ');
  notes.push(
    `A step of ${limitS / 60} minutes holds ${sounds} of the ${scans.length} sounds. Left out: ${left}. Let the child hear them at the study's own preparation.`,
  );
  return { sounds, soundS };
}

function requireOrder({ scans, gentleOrder }: LadderInput): void {
  const names = new Set(scans.map(({ name }) => name));
  const ordered = new Set(gentleOrder.filter(name => names.has(name)));
  if (scans.length > 0 && gentleOrder.length === scans.length && ordered.size === scans.length) {
    return;
  }
  throw new RangeError(
    `gentleOrder must name each of the ${scans.length} scans once, got ${gentleOrder.join(', ')}`,
  );
}
