/**
 * What a kit does at other settings of the volume, and on devices that lack bass: for staff, before
 * a family has it.
 *
 * @module
 */
import type { Listener } from '../../levels/limits.js';
import { type AWeightedSpectrum, losesItsMark } from '../../levels/small-speaker.js';
import {
  type DeviceClass,
  voiceAtFullVolume,
  type WeekAtVolume,
  weekAtVolume,
} from '../../levels/playback.js';
import type { LayoutConstants } from '../../protocol/plan-ranges.js';
import { busiestWeek, type HeardStep } from '../audio/heard-parts.js';
import { VOICE_LAEQ_DBFS } from '../audio/levelled-sounds.js';
import type { LevelInterval, ManifestSession } from './manifest.js';
import type {
  ManifestDevice,
  ManifestLoss,
  ManifestPlayback,
  ManifestWeek,
} from './manifest-playback.js';
import { playbackWords } from '../words/playback-words.js';

/** A scan's sound, for what devices take off it. */
export interface PlayedScanSound {
  readonly scan: string;
  readonly plainName: string;
  /** undefined for silence. */
  readonly spectrum: AWeightedSpectrum | undefined;
}

/** What is played, and for whom. */
export interface PlayedPlan {
  readonly steps: readonly HeardStep[];
  readonly sessions: readonly ManifestSession[];
  readonly layout: Pick<LayoutConstants, 'cueSeconds'>;
  readonly listener: Listener;
  /** Level of the voice reference at the listener's place. */
  readonly voiceDba: LevelInterval;
}

export interface PlaybackInput extends PlayedPlan {
  readonly devices: readonly DeviceClass[];
  /** In the order of the scan day. */
  readonly sounds: readonly PlayedScanSound[];
}

/** A kind of device at full volume, whatever is played. */
type TurnedUp = Omit<ManifestDevice, 'typical' | 'worst'>;

export function kitPlayback({ devices, sounds, ...input }: PlaybackInput): ManifestPlayback {
  const turnedUp = devices.map(device => {
    const { typical, worst } = voiceAtFullVolume(device, VOICE_LAEQ_DBFS);
    return {
      device: device.name,
      label: device.label,
      lowEndHertz: device.lowEndHz,
      voiceDba: { typical: hundredths(typical), worst: hundredths(worst) },
    };
  });
  return playbackOf(
    input,
    turnedUp,
    sounds.flatMap(sound => lossOf(sound, devices)),
  );
}

/** The same kit with other sessions or steps; that of before, when there are no sessions any more. */
export function withSessions(
  { allTheWayUp, losses, ...before }: ManifestPlayback,
  input: PlayedPlan,
): ManifestPlayback {
  return input.sessions.length === 0
    ? { ...before, allTheWayUp, losses }
    : playbackOf(input, allTheWayUp, losses);
}

function playbackOf(
  input: PlayedPlan,
  devices: readonly TurnedUp[],
  losses: readonly ManifestLoss[],
): ManifestPlayback {
  const { listener, voiceDba } = input;
  const { sessions, heard } = busiestWeek(input.steps, input.sessions, input.layout);
  const at = (levelDba: number): ManifestWeek =>
    manifestWeek(weekAtVolume(heard, levelDba, listener));
  const numbers = {
    week: {
      sessions,
      minutes: significant(
        heard.reduce((sum, { durationSeconds }) => sum + durationSeconds, 0) / 60,
      ),
    },
    asSet: {
      low: at(voiceDba.low),
      expected: at(voiceDba.expected),
      high: at(voiceDba.high),
    },
    tenTooLoud: at(voiceDba.expected + 10),
    twentyTooLoud: at(voiceDba.expected + 20),
    allTheWayUp: devices.map(({ device, label, lowEndHertz, voiceDba }) => ({
      device,
      label,
      lowEndHertz,
      voiceDba,
      typical: at(voiceDba.typical),
      worst: at(voiceDba.worst),
    })),
    losses,
  };
  return { ...numbers, words: playbackWords(numbers, listener, isVoiceLoudest(input.steps)) };
}

const isVoiceLoudest = (steps: readonly HeardStep[]): boolean =>
  steps.every(({ sounds }) => sounds.every(({ offsetDb }) => offsetDb < 0));

function manifestWeek(week: WeekAtVolume): ManifestWeek {
  return {
    laeqDba: hundredths(week.laeqDba),
    weeklyDosePercent: significant(week.weeklyDosePercent),
    minutesToWeeklyLimit: significant(week.minutesToLimit),
    passesWeeklyLimit: week.passesLimit,
  };
}

function lossOf(
  { scan, plainName, spectrum }: PlayedScanSound,
  devices: readonly DeviceClass[],
): readonly ManifestLoss[] {
  if (spectrum === undefined) return [];
  const percents = devices.map(({ name, lowEndHz }) => [
    name,
    tenths(spectrum.belowPercent(lowEndHz)),
  ]);
  return [
    {
      scan,
      plainName,
      toneHertz: significant(spectrum.toneHz),
      belowLowEndPercent: Object.fromEntries(percents) as Record<string, number>,
      unrecognisableOn: devices
        .filter(({ lowEndHz }) => losesItsMark(spectrum, lowEndHz))
        .map(({ name }) => name),
    },
  ];
}

const tenths = (value: number): number => Math.round(value * 10) / 10;
const hundredths = (value: number): number => Math.round(value * 100) / 100;
const significant = (value: number): number => Number(value.toPrecision(4));
