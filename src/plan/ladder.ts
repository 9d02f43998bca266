/**
 * The ladder: steps from soft to the ceiling, each different from the one before on exactly one axis.
 *
 * @module
 */
import type { PlannedChange } from '../protocol/plan-constants.js';
import type { PlanPreset } from '../protocol/plan-preset.js';
import type { HardSound } from '../protocol/plan-settings.js';
import { requireInRange } from '../signal/require.js';
import { type ProtocolInterlude, visitInterludes, withinSeconds } from './interludes.js';
import { secondsOfSound } from './layout.js';
import type {
  PlannedInterlude,
  PlannedSound,
  Posture,
  Step,
  StepChange,
  StepOrder,
} from './plan.js';

/** A scan that can be heard in a plan. */
export interface LadderScan {
  readonly name: string;
  /** How long it takes on the day, in s. */
  readonly durationSeconds: number;
}

export interface LadderInput {
  /** In the order of the scan day; at least one. */
  readonly scans: readonly LadderScan[];
  /** Names of all of them, gentlest first. */
  readonly gentleOrder: readonly string[];
  /** Sounds that are softened or have a ladder of their own. */
  readonly hardSounds?: readonly HardSound[];
  /** What lies between the scans, in the order of the day. */
  readonly interludes?: readonly ProtocolInterlude[];
  /** Highest level of a sound in dB re the voice reference. */
  readonly ceilingDb: number;
  readonly preset: PlanPreset;
}

export interface Ladder {
  readonly steps: readonly Step[];
  readonly notes: readonly string[];
}

/** What the next step changes. */
interface State {
  readonly levelDb: number;
  readonly soundCount: number;
  readonly soundSeconds: number;
  readonly onsetSeconds: number;
  readonly softness: number;
  readonly announced: boolean;
  readonly posture: Posture;
  readonly order: StepOrder;
  readonly isVisit: boolean;
  /** The one sound that is heard, on a ladder of its own. */
  readonly alone: string | null;
  /** Sounds that came back from theirs. */
  readonly together: readonly string[];
}

/**
 * The steps of a plan for a protocol.
 *
 * @throws {RangeError} No scans, an order that does not name each scan once, or a ceiling outside
 *   -40 to 20 dB.
 */
export function buildLadder(input: LadderInput): Ladder {
  const { preset, ceilingDb } = input;
  const { band, constants } = preset;
  requireInRange(ceilingDb, 'ceilingDb', -40, 20, 'dB re voice');
  requireOrder(input);
  const topDb = Math.min(ceilingDb, preset.highestOffsetDb);
  const notes: string[] = [];
  const limits = fit(input, notes);
  const { main, alone } = inParts(input);
  const most = Math.min(limits.sounds, main.length);
  const count = (wanted: number | 'all'): number =>
    wanted === 'all' ? most : Math.min(wanted, most);
  const duration = (wanted: number | 'longest'): number =>
    wanted === 'longest' ? limits.longestSeconds : Math.min(wanted, limits.soundSeconds);

  let state: State = {
    levelDb: Math.min(constants.startOffsetDb, topDb),
    soundCount: count(band.first.sounds),
    soundSeconds: duration(band.first.soundSeconds),
    onsetSeconds: band.first.onsetSeconds,
    softness: band.first.softness,
    announced: band.first.announced,
    posture: 'any',
    order: 'gentle',
    isVisit: false,
    alone: null,
    together: [],
  };
  const steps: Step[] = [makeStep(input, state, 1, 'start')];
  const take = (change: StepChange, next: State): void => {
    const step = makeStep(input, next, steps.length + 1, change);
    if (isSame(step, steps.at(-1)!)) return;
    steps.push(step);
    state = next;
  };
  const raise = (): void => {
    take('level', { ...state, levelDb: Math.min(state.levelDb + constants.stepDb, topDb) });
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
        take('duration', {
          ...state,
          soundSeconds: Math.max(duration(change.to), state.soundSeconds),
        });
        break;
      case 'onset':
        take('onset', { ...state, onsetSeconds: Math.min(change.to, state.onsetSeconds) });
        break;
      case 'softness':
        take('softness', { ...state, softness: Math.min(change.to, state.softness) });
        break;
      case 'announced':
        take('announced', { ...state, announced: false });
        break;
      case 'posture':
        take('posture', { ...state, posture: 'lying-still' });
        break;
      case 'order':
        take('order', { ...state, order: 'protocol' });
        break;
      case 'visit':
        // A visit has the order of the day: that comes first, as a step of its own.
        take('order', { ...state, order: 'protocol' });
        take('visit', { ...state, isVisit: true });
        noteLeftOut(input, steps.at(-1)!, notes);
        break;
    }
  };
  band.changes.forEach(takeChange);
  while (state.levelDb < topDb) raise();
  for (const scan of alone.slice(0, limits.sounds - most)) {
    const { onsetSeconds } = state;
    take('alone', {
      ...state,
      alone: scan,
      levelDb: Math.min(constants.startOffsetDb, topDb),
      softness: 1,
      onsetSeconds: band.first.onsetSeconds,
    });
    raise();
    take('softness', { ...state, softness: 0.5 });
    raise();
    take('softness', { ...state, softness: 0 });
    while (state.levelDb < topDb) raise();
    take('onset', { ...state, onsetSeconds });
    take('together', { ...state, alone: null, together: [...state.together, scan] });
  }
  band.ending.forEach(takeChange);
  while (state.levelDb < topDb) raise();
  return { steps, notes };
}

/**
 * A whole visit for the lab's own practice room: every scan in the order of the day, each as long as on
 * the day or as the minutes allow, at the level at which the ladder ends.
 *
 * @param mostMinutes - Of sound.
 */
export function practiceRoomStep(input: LadderInput, mostMinutes: number): Step {
  const { preset } = input;
  const { steps } = buildLadder({
    ...input,
    // Nothing is on a ladder of its own here.
    hardSounds: (input.hardSounds ?? []).filter(({ how }) => how === 'soften'),
    preset: {
      ...preset,
      constants: { ...preset.constants, minutesPerDay: mostMinutes },
      band: {
        ...preset.band,
        longestSessionMinutes: mostMinutes,
        first: { ...preset.band.first, sounds: 'all' },
        ending: [{ axis: 'duration', to: 'longest' }, { axis: 'visit' }],
      },
    },
  });
  return { ...steps.at(-1)!, number: 1, posture: 'lying-still' };
}

/** Sounds of one way of being hard, gentlest first. */
const hardSounds = (
  { gentleOrder, hardSounds = [] }: LadderInput,
  way: HardSound['how'],
): readonly string[] =>
  gentleOrder.filter(name => hardSounds.some(({ scan, how }) => scan === name && how === way));

/** Sounds of the ladder itself, and those that have one of their own; each gentlest first. */
function inParts(input: LadderInput): {
  readonly main: readonly string[];
  readonly alone: readonly string[];
} {
  const alone = hardSounds(input, 'alone');
  const main = input.gentleOrder.filter(name => !alone.includes(name));
  // With nothing but hard sounds, theirs is the ladder itself.
  return main.length === 0 ? { main: input.gentleOrder, alone: [] } : { main, alone };
}

function makeStep(input: LadderInput, state: State, number: number, change: StepChange): Step {
  const heard = new Set(
    state.alone === null
      ? [...inParts(input).main.slice(0, state.soundCount), ...state.together]
      : [state.alone],
  );
  const dayOrder = input.scans.map(({ name }) => name);
  const names = (state.order === 'gentle' ? input.gentleOrder : dayOrder).filter(name =>
    heard.has(name),
  );
  const scans = new Map(input.scans.map(scan => [scan.name, scan]));
  const alwaysSoft = hardSounds(input, 'soften');
  const sounds = names.map((name): PlannedSound => ({
    scan: name,
    durationSeconds: heardSeconds(scans.get(name)!, state.soundSeconds, input.preset),
    softness: alwaysSoft.includes(name) ? 1 : state.softness,
  }));
  const { levelDb, onsetSeconds, softness, announced, posture } = state;
  const restSeconds = mostSecondsOf(input.preset) - secondsOfSound({ sounds, interludes: [] });
  const interludes = state.isVisit ? interludesOf(input, new Set(names), restSeconds) : [];
  return {
    number,
    change,
    levelDb,
    onsetSeconds,
    softness,
    announced,
    posture,
    order: state.order,
    sounds,
    interludes,
  };
}

/** What lies between these scans in the order of the day, as much as has its time. */
function interludesOf(
  { scans, interludes = [], preset }: LadderInput,
  heard: ReadonlySet<string>,
  seconds: number,
): readonly PlannedInterlude[] {
  const dayOrder = scans.map(({ name }) => name);
  const names = dayOrder.filter(name => heard.has(name));
  return withinSeconds(visitInterludes(dayOrder, names, interludes, preset.constants), seconds);
}

/** A scan is not heard for longer than it takes on the day, nor for less than the shortest sound. */
function heardSeconds(scan: LadderScan, soundSeconds: number, preset: PlanPreset): number {
  const ownSeconds = Math.floor(scan.durationSeconds * 10) / 10;
  const shortestSeconds = shortestSecondsOf(preset);
  return Math.max(Math.min(soundSeconds, ownSeconds), shortestSeconds);
}

/** After the longest fade there is as much of the sound as during it. */
const shortestSecondsOf = ({ constants, band }: PlanPreset): number =>
  Math.max(constants.shortestSoundSeconds, 2 * band.first.onsetSeconds);

/** Whether two steps are the same to a child: one scan has no order, and needs no other cue. */
function isSame(a: Step, b: Step): boolean {
  const heard = ({
    levelDb,
    onsetSeconds,
    order,
    announced,
    posture,
    sounds,
    interludes,
  }: Step): string =>
    JSON.stringify([
      levelDb,
      onsetSeconds,
      posture,
      sounds.length > 1 ? [order, announced] : '',
      sounds,
      interludes,
    ]);
  return heard(a) === heard(b);
}

interface Limits {
  readonly sounds: number;
  /** Longest sound of the steps whose length is given. */
  readonly soundSeconds: number;
  /** Longest sound with which all of them still fit. */
  readonly longestSeconds: number;
}

/** Most sound of a step, in s. */
const mostSecondsOf = ({ band, constants }: PlanPreset): number =>
  60 * Math.min(band.longestSessionMinutes, constants.minutesPerDay);

/** Sounds leave this share of a visit to what lies between them, if that takes so much (our own default). */
const INTERLUDE_SHARE = 1 / 5;

/** How many sounds, and how long each, so that even the longest step stays within the session's limit. */
function fit(input: LadderInput, notes: string[]): Limits {
  const { preset, scans } = input;
  const { band } = preset;
  const limitSeconds = mostSecondsOf(preset);
  const wantedSeconds = Math.max(
    band.first.soundSeconds,
    ...[...band.changes, ...band.ending].map(change =>
      change.axis === 'duration' && change.to !== 'longest' ? change.to : 0,
    ),
  );
  const { main, alone } = inParts(input);
  const joining = [...main, ...alone];
  const lengths = joining.map(name => scans.find(scan => scan.name === name)!);
  const together = (sounds: number, soundSeconds: number): number =>
    secondsOfSound({
      sounds: lengths
        .slice(0, sounds)
        .map(scan => ({ durationSeconds: heardSeconds(scan, soundSeconds, preset) })),
      interludes: [],
    });
  const shortestSeconds = shortestSecondsOf(preset);
  const ownSeconds = Math.ceil(Math.max(...scans.map(({ durationSeconds }) => durationSeconds)));
  let sounds = scans.length;
  while (sounds > 1 && together(sounds, shortestSeconds) > limitSeconds) sounds--;
  // All steps have sounds of the visit's length, so that it differs from them by nothing but itself.
  const betweenSeconds = Math.min(
    INTERLUDE_SHARE * limitSeconds,
    limitSeconds - together(sounds, shortestSeconds),
  );
  const interludes = [...band.changes, ...band.ending].some(({ axis }) => axis === 'visit')
    ? interludesOf(input, new Set(joining.slice(0, sounds)), betweenSeconds)
    : [];
  const leftSeconds = limitSeconds - secondsOfSound({ sounds: [], interludes });
  const longestOf = (mostSeconds: number): number => {
    let soundSeconds = Math.max(mostSeconds, shortestSeconds);
    while (soundSeconds > shortestSeconds && together(sounds, soundSeconds) > leftSeconds)
      soundSeconds--;
    return Math.max(soundSeconds, shortestSeconds);
  };
  const soundSeconds = longestOf(wantedSeconds);
  if (sounds < scans.length) {
    const left = joining.slice(sounds).join(', ');
    notes.push(
      `A step of ${limitSeconds / 60} minutes holds ${sounds} of the ${scans.length} sounds. Left out: ${left}. Let the child hear them at the study's own preparation.`,
    );
  } else if (soundSeconds < wantedSeconds) {
    notes.push(
      `Sounds last at most ${soundSeconds} s instead of ${wantedSeconds} s, so that all ${scans.length} fit into a step of ${limitSeconds / 60} minutes.`,
    );
  }
  return { sounds, soundSeconds, longestSeconds: longestOf(ownSeconds) };
}

/** Says what a visit goes without. */
function noteLeftOut(input: LadderInput, { sounds, interludes }: Step, notes: string[]): void {
  const heard = new Set(sounds.map(({ scan }) => scan));
  const leftOut = interludesOf(input, heard, Infinity).length - interludes.length;
  if (leftOut === 0) return;
  notes.push(
    `The whole visit goes without ${leftOut} of its pre-scans and rides of the table, so that it fits into a step of ${mostSecondsOf(input.preset) / 60} minutes.`,
  );
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
