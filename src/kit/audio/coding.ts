/**
 * How a kit's audio is coded: at the usual bit rate, or, where a kit must be small, at the highest
 * one with which it fits.
 *
 * @module
 */
import { UserError } from '../../errors.js';
import type { Mp3Settings } from '../../formats/mp3-encoder.js';

export interface AudioCoding {
  readonly bitrateKbps: Mp3Settings['bitrateKbps'];
  /** What is above is lost to coding, in Hz; null when that is nothing of a scan. */
  readonly lostAboveHertz: number | null;
  /** Size that all files together may have, in bytes; null for any. */
  readonly limitBytes: number | null;
}

/** Size of a small kit: what mail and slow lines take, and one hour at the usual bit rate. Our own. */
export const SMALL_KIT_BYTES = 30_000_000;

/** Page, guide, cards and lists together; 0.35 MB were measured, in Arabic 0.5. */
const OTHER_BYTES = 1_000_000;

/** Tag, information frame and two frames that coding adds, per file. */
const FILE_BYTES = 1500;

/**
 * Bit rates from high to low, and up to where each keeps a sound (the upper edge of the last third
 * octave within 2 dB, noise; measured). Levels within 0.02 dB and FAST maxima within 0.14 dB with the
 * six families. Lower rates lift FAST maxima by up to 0.4 dB, which is more than sounds stay below
 * their limits: they are not used.
 */
const RATES = [
  { bitrateKbps: 64, lostAboveHertz: null },
  { bitrateKbps: 48, lostAboveHertz: 11_200 },
  { bitrateKbps: 40, lostAboveHertz: 8900 },
] as const;

/**
 * The coding of a kit.
 *
 * @param seconds - Length of each audio file.
 * @param small - Whether the kit must be small.
 * @throws {UserError} `BAD_USAGE`: it cannot be made so small.
 */
export function audioCoding(seconds: readonly number[], small: boolean): AudioCoding {
  if (!small) return { ...RATES[0], limitBytes: null };
  const fitting = RATES.find(
    ({ bitrateKbps }) => kitBytes(seconds, bitrateKbps) <= SMALL_KIT_BYTES,
  );
  if (fitting !== undefined) return { ...fitting, limitBytes: SMALL_KIT_BYTES };
  const { bitrateKbps } = RATES.at(-1)!;
  const minutes = seconds.reduce((sum, s) => sum + s, 0) / 60;
  const room = SMALL_KIT_BYTES - OTHER_BYTES - seconds.length * FILE_BYTES;
  throw new UserError('BAD_USAGE', 'This kit cannot be made small.', [
    {
      where: '--small',
      found: `${minutes.toFixed(0)} min of audio: ${megabytes(kitBytes(seconds, bitrateKbps))} MB at ${bitrateKbps} kbit/s, the lowest bit rate that keeps levels`,
      allowed: `${megabytes(SMALL_KIT_BYTES)} MB: ${Math.floor(room / (bitrateKbps * 125) / 60)} min of audio`,
      fix: 'Leave out scans (plan.leaveOut), plan over fewer days, or build it without --small.',
    },
  ]);
}

/** What coding a small kit cost, for staff. */
export function codingNotes({ bitrateKbps, lostAboveHertz, limitBytes }: AudioCoding): string[] {
  if (limitBytes === null) return [];
  const limit = `${megabytes(limitBytes)} MB`;
  if (lostAboveHertz === null)
    return [`The kit fits in ${limit} at the usual bit rate: nothing is lost.`];
  const kilohertz = (lostAboveHertz / 1000).toFixed(1);
  return [
    `To fit in ${limit}, the audio is coded at ${bitrateKbps} kbit/s instead of ${RATES[0].bitrateKbps}: what is above ${kilohertz} kHz is lost. Levels are as they would be.`,
  ];
}

/**
 * Holds a finished kit to its limit.
 *
 * @throws {Error} It is larger: what was allowed for page and guide did not suffice, a fault of ours.
 */
export function requireSize(bytes: number, { limitBytes }: AudioCoding): void {
  if (limitBytes === null || bytes <= limitBytes) return;
  throw new Error(`the kit has ${bytes} bytes, more than the ${limitBytes} it was made for`);
}

function kitBytes(seconds: readonly number[], bitrateKbps: number): number {
  const audio = seconds.reduce((sum, s) => sum + s * bitrateKbps * 125 + FILE_BYTES, 0);
  return Math.ceil(audio) + OTHER_BYTES;
}

export const megabytes = (bytes: number): string => (bytes / 1e6).toFixed(1).replace(/\.0$/, '');
