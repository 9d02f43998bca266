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
import type { LevelRange } from './scan-levels.js';

export type Listener = 'child' | 'adult';

/**
 * Level of the voice reference at the listener's place once it is set equal to talk, in dBA.
 * Expected: normal vocal effort at 1 m is 60 dBA (ISO 9921). The interval is our own: talk at home
 * measures 55 to 66 dBA, and a match by ear adds its error.
 */
export const VOICE_DBA: LevelRange = { low: 52, expected: 60, high: 68 };

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

/** Highest true peak in a file, in dB re full scale: room for what lossy coding adds. */
export const TRUE_PEAK_LIMIT_DBTP = -3;

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
    throw new UserError('UNSAFE', `This kit could reach ${laeqDba + aboveDb} dBA.`, [
      {
        where,
        found: `a ceiling of ${laeqDba} dBA, which may be ${laeqDba + aboveDb} dBA at the listener's place (the volume is set by ear: ${aboveDb} dB)`,
        allowed: `a ceiling of at most ${gateDba - aboveDb} dBA, so that ${listener === 'child' ? 'a child' : 'an adult'} never gets more than ${gateDba} dBA`,
        fix: `Lower laeqDba to ${gateDba - aboveDb} or less. This limit cannot be switched off.`,
      },
    ]);
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

/** Highest levels of a sound in dB re the voice reference's LAeq. */
export interface OffsetLimits {
  readonly laeqDb: number;
  readonly lafmaxDb: number;
  readonly lcpeakDb: number;
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
  };
}
