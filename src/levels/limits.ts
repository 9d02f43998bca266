/**
 * Ceilings and gates: how loud a kit may be at the listener's place. What passes a gate is refused,
 * and no setting switches a gate off.
 *
 * Levels at home are estimates, since the home sets the volume: the voice reference is taken to be
 * at talking level, low / expected / high. Ceilings limit what is expected, gates the upper end.
 *
 * @module
 */
import { UserError } from '../errors.js';
import { type CeilingSettings, DEFAULT_CEILING_DBA } from '../protocol/plan-settings.js';
import { HIGHEST_SHORT_DBA } from './rise-gate.js';
import type { LevelRange } from './scan-levels.js';

export type Listener = 'child' | 'adult';

/**
 * Level of the voice reference at the listener's place once it is set equal to talk, in dBA.
 * Expected: normal vocal effort at 1 m is 60 dBA (ISO 9921). The interval is our own: talk at home
 * measures 55 to 66 dBA, and a match by ear adds its error.
 */
export const VOICE_DBA: LevelRange = { low: 52, expected: 60, high: 68 };

/**
 * How far the voice reference may be off where staff measured the family's device with a sound level
 * meter, in dB: 2 dB for a class 2 meter and 1 dB for where exactly the child sits; our own.
 */
export const METERED_DB = 3;

/** Limits on the upper end of an estimate at the listener's place. */
export interface Gates {
  /** A-weighted equivalent level while a sound plays, dBA. */
  readonly laeqDba: number;
  /** Maximum FAST level, dBA. */
  readonly lafmaxDba: number;
  /** Peak, dBC. */
  readonly lcpeakDbc: number;
}

/**
 * Equivalent level: what WHO and ITU-T H.870 allow for 40 hours a week (children 75 dBA, adults
 * 80), used here as an absolute limit. Maximum level: our own default. Peak: toys close to the ear
 * (ASTM F963-23, 4.5).
 */
export const GATES: Readonly<Record<Listener, Gates>> = {
  child: { laeqDba: 75, lafmaxDba: 85, lcpeakDbc: 110 },
  adult: { laeqDba: 80, lafmaxDba: 85, lcpeakDbc: 110 },
};

/** A sound's maximum FAST level is at most so far above the ceiling, in dB; our own default. */
export const LAFMAX_ABOVE_CEILING_DB = 6;

/**
 * Ceiling over a child who sleeps, in dBA, which nobody can raise: limit for the hourly level in
 * nurseries of hospitals (infant sleep machines were judged by it: Hugh and others, Pediatrics 133,
 * 2014).
 */
export const ASLEEP_CEILING_DBA = 50;

/** Most sound at home, silence and cues not counted, in minutes; our own default. */
export const MOST_MINUTES = { perDay: 20, perWeek: 120 } as const;

/** Highest true peak of a file once it is decoded, in dB re full scale; our own default. */
export const TRUE_PEAK_GATE_DBTP = -2;

/** The ceiling in force. */
export interface Ceiling {
  /** Expected equivalent level that no sound may exceed, dBA. */
  readonly laeqDba: number;
  /** Who raised it above the default; null for the default or less. */
  readonly raisedBy: {
    readonly name: string;
    readonly reason: string;
    readonly date: string;
  } | null;
}

/**
 * The ceiling that a study asks for, if it may have it.
 *
 * @param where - Place of the setting, for messages.
 * @param voice - Level of the voice reference at the listener's place.
 * @throws {UserError} `UNSAFE`: its upper end passes the gate, or it is above the default without
 *   approver, reason and date.
 */
export function ceilingInForce(
  settings: CeilingSettings | undefined,
  listener: Listener,
  where: string,
  voice: LevelRange = VOICE_DBA,
): Ceiling {
  const laeqDba = settings?.laeqDba ?? DEFAULT_CEILING_DBA;
  const aboveDb = voice.high - voice.expected;
  const gateDba = GATES[listener].laeqDba;
  // Not `>`: NaN must be refused too.
  if (!(laeqDba + aboveDb <= gateDba)) {
    throw pastTheGate(laeqDba, aboveDb, listener, where);
  }
  if (laeqDba <= DEFAULT_CEILING_DBA) return { laeqDba, raisedBy: null };
  const { approvedBy, reason, date } = settings ?? {};
  if (!approvedBy || !reason || !date) {
    throw new UserError('UNSAFE', 'A raised ceiling needs a name, a reason and a date.', [
      {
        where,
        found: `a ceiling of ${laeqDba} dBA without approval`,
        allowed: `up to ${DEFAULT_CEILING_DBA} dBA without approval`,
        fix: 'Add approvedBy, reason and date, or lower laeqDba.',
      },
    ]);
  }
  return { laeqDba, raisedBy: { name: approvedBy, reason, date } };
}

/** The ceiling over sleep: that of a child who is awake, but never above {@link ASLEEP_CEILING_DBA}. */
export const ceilingOverSleep = (awake: Ceiling): Ceiling =>
  awake.laeqDba <= ASLEEP_CEILING_DBA ? awake : { laeqDba: ASLEEP_CEILING_DBA, raisedBy: null };

/** Highest levels of a sound in dB re the voice reference's LAeq. */
export interface OffsetLimits {
  readonly laeqDb: number;
  readonly lafmaxDb: number;
  readonly lcpeakDb: number;
  /** A-weighted level over 10 ms: what it may rise to out of the quiet. */
  readonly shortDb: number;
}

/** What the ceiling and the gates leave to a sound. */
export function offsetLimits(
  { laeqDba }: Ceiling,
  listener: Listener,
  voice: LevelRange = VOICE_DBA,
): OffsetLimits {
  const gates = GATES[listener];
  return {
    laeqDb: Math.min(laeqDba - voice.expected, gates.laeqDba - voice.high),
    lafmaxDb: Math.min(
      laeqDba + LAFMAX_ABOVE_CEILING_DB - voice.expected,
      gates.lafmaxDba - voice.high,
    ),
    lcpeakDb: gates.lcpeakDbc - voice.high,
    shortDb: HIGHEST_SHORT_DBA - voice.expected,
  };
}

/** Which limit, what was asked, what would be allowed. */
function pastTheGate(
  laeqDba: number,
  aboveDb: number,
  listener: Listener,
  where: string,
): UserError {
  const gateDba = GATES[listener].laeqDba;
  const upper = tidy(laeqDba + aboveDb);
  const most = tidy(gateDba - aboveDb);
  const who = listener === 'child' ? 'a child' : 'an adult';
  const isByEar = aboveDb > METERED_DB;
  const how = isByEar ? 'the volume is set by ear' : 'the device was measured with a meter';
  const measured = isByEar
    ? ` A device that was measured with a meter (kit --voice-dba) may have ${tidy(gateDba - METERED_DB)} dBA.`
    : '';
  return new UserError('UNSAFE', `This kit could reach ${upper} dBA.`, [
    {
      where,
      found: `a ceiling of ${laeqDba} dBA, which may be ${upper} dBA at the listener's place (${how}: give or take ${tidy(aboveDb)} dB)`,
      allowed: `a ceiling of at most ${most} dBA, so that ${who} never gets more than ${gateDba} dBA`,
      fix: `Lower laeqDba to ${most} or less.${measured} This limit cannot be switched off.`,
    },
  ]);
}

/** Without the binary dust of sums of decimal fractions. */
const tidy = (value: number): number => Number(value.toPrecision(12));
