/**
 * Sounds at their levels: every part of a step's audio scaled so that it measures what the plan says,
 * or less where a limit holds it back. Each is measured once, with its fades.
 *
 * @module
 */
import { voiceReference } from '../../acoustics/voice-reference.js';
import type { Levels } from '../../levels/levels.js';
import { type OffsetLimits, TRUE_PEAK_GATE_DBTP } from '../../levels/limits.js';
import { measureSound } from '../../levels/measure-sound.js';
import { beginsAtSeconds } from '../../levels/rise-gate.js';
import { shortMeanSquares } from '../../levels/short-levels.js';
import type { SoftnessConstants } from '../../protocol/plan-constants.js';
import { dbToAmplitude, meanSquareToDbfs } from '../../signal/decibels.js';
import { fitSound, shapeSound, withoutStart } from '../../signal/shape-sound.js';
import { softenSound } from '../../signal/soften.js';
import { HeldSounds } from '../../signal/remembered-sounds.js';
import type { Sound } from '../../signal/sound.js';
import { cue } from './cue.js';
import { type CueClip, clipGainDb } from './cue-clips.js';

/** The sound of a scan from its start, in Pa at the ear; shorter than asked when the scan is. */
export type SoundSource = (scanName: string, durationSeconds: number) => Sound;

/**
 * Level of the voice reference in a kit, LAeq in dB re the RMS of a full-scale sine.
 *
 * As high as it can be without limiting what it is the measure of: true peaks of the six families
 * lie up to 16.8 dB above their LAeq (measured, turbo spin echo under protection), sounds may be 5 dB
 * above the voice, true peaks stay below -3 dB. Lower would cost loudness that a phone's loudspeaker
 * has little of: 60 to 76 dBA at 1 m at full volume for full-scale speech (measured on phones of 2011).
 */
export const VOICE_LAEQ_DBFS = -25;

/**
 * Sounds stay so far below their limits, in dB, that MP3 coding lifts none over it. Measured: it
 * changes LAeq by up to 0.02 dB; FAST maxima by up to 0.06 dB with the six families, by 0.11 dB with
 * single thumps out of silence; true peaks by up to 0.6 dB.
 */
export const CODING_MARGIN_DB = {
  laeq: 0.05,
  lafmax: 0.2,
  lcpeak: 0.5,
  truePeak: 1.5,
  short: 0.5,
} as const;

/** The file `voice-reference.mp3`: length and fades in s. */
export const VOICE_FILE = { durationSeconds: 30, fadeInSeconds: 2, fadeOutSeconds: 0.5 } as const;

/** The short voice in each step: fades in s. */
export const VOICE_FADES = { fadeInSeconds: 1, fadeOutSeconds: 0.3 } as const;

/** Fades of the background between sounds, in s. */
const BACKGROUND_FADE_SECONDS = 0.4;

/** A low-pass at this frequency takes nothing off that a home loudspeaker plays of scans. */
const OPEN_HZ = 12_000;

/** Short sounds come back in most steps: so many samples of them are kept, 128 MB; 380 s. */
const HELD_SAMPLES = 2 ** 24;

/** A scan's sound in a step. */
export interface LevelledSound {
  readonly sound: Sound;
  /** Amplitude ratio from Pa to full scale. */
  readonly gain: number;
  /** LAeq from start to end, re the voice reference's. */
  readonly offsetDb: number;
  /** Maximum FAST level re the voice reference's LAeq. */
  readonly lafmaxOffsetDb: number;
  readonly truePeakDbtp: number;
  /** By how much a limit lowered it; 0 for not at all. */
  readonly loweredDb: number;
}

/** How a sound is wanted. */
export interface WantedLevel {
  readonly scan: string;
  /** From 0, the full sound, to 1, dull and even. */
  readonly softness: number;
  readonly durationSeconds: number;
  readonly onsetSeconds: number;
  readonly fadeOutSeconds: number;
  /** LAeq re the voice reference's. */
  readonly levelDb: number;
}

/** All sounds of one kit. */
export class LevelledSounds {
  private readonly begun = new Map<string, Sound>();
  private readonly shortDbfs = new Map<string, number>();
  private readonly measured = new Map<string, Levels>();
  private readonly cues = new Map<string, Sound>();
  private readonly held = new HeldSounds(HELD_SAMPLES);

  /**
   * @param softness - What is left of the softest sounds.
   * @param voiceOffsetDb - Level of the short voice in each step re the voice reference.
   */
  constructor(
    private readonly source: SoundSource,
    readonly limits: OffsetLimits,
    readonly softness: SoftnessConstants,
    readonly voiceOffsetDb = 0,
  ) {}

  /** A scan's sound, faded, at its level. */
  scan(wanted: WantedLevel): LevelledSound {
    const { scan, durationSeconds, softness } = wanted;
    const sound = this.held.get(`${scan} ${durationSeconds} ${softness}`, () =>
      soften(this.begunSound(scan, durationSeconds), softness, this.softness),
    );
    return this.level(`${scan} ${softness}`, sound, wanted);
  }

  /** What is heard between scans, likewise. */
  interlude(
    kind: string,
    source: Sound,
    wanted: Omit<WantedLevel, 'scan' | 'softness'>,
  ): LevelledSound {
    return this.level(`interlude ${kind}`, fit(source, wanted.durationSeconds), wanted);
  }

  /** @param name - Of the sound as it is, for what was measured. */
  private level(
    name: string,
    sound: Sound,
    wanted: Omit<WantedLevel, 'scan' | 'softness'>,
  ): LevelledSound {
    const { durationSeconds, onsetSeconds, levelDb } = wanted;
    const fadeOutSeconds = Math.min(wanted.fadeOutSeconds, durationSeconds - onsetSeconds);
    const fades = { fadeInSeconds: onsetSeconds, fadeOutSeconds };
    const levels = this.levelsOf(
      `${name} ${durationSeconds} ${onsetSeconds} ${fadeOutSeconds}`,
      () => shapeSound(sound, { gain: 1, ...fades }),
    );
    const margin = CODING_MARGIN_DB;
    const laeqDb = Math.min(levelDb, this.limits.laeqDb - margin.laeq);
    const wantedDb = VOICE_LAEQ_DBFS + laeqDb - levels.laeqDbfs;
    const gainDb = Math.min(
      wantedDb,
      VOICE_LAEQ_DBFS + this.limits.lafmaxDb - margin.lafmax - levels.lafmaxDbfs,
      VOICE_LAEQ_DBFS + this.limits.lcpeakDb - margin.lcpeak - levels.lcpeakDbfs,
      // Unfaded: so what the fade leaves of it stays below what a fade may leave.
      VOICE_LAEQ_DBFS + this.limits.shortDb - margin.short - this.shortOf(name, sound),
      TRUE_PEAK_GATE_DBTP - margin.truePeak - levels.truePeakDbtp,
    );
    const gain = dbToAmplitude(gainDb);
    return {
      sound: shapeSound(sound, { gain, ...fades }),
      gain,
      offsetDb: levels.laeqDbfs + gainDb - VOICE_LAEQ_DBFS,
      lafmaxOffsetDb: levels.lafmaxDbfs + gainDb - VOICE_LAEQ_DBFS,
      truePeakDbtp: levels.truePeakDbtp + gainDb,
      loweredDb: wantedDb - gainDb,
    };
  }

  /**
   * A cue: a chime whose highest FAST level is `levelDb` re the voice, or a clip as loud as that.
   * Neither is ever louder than the voice itself.
   */
  cue(
    direction: 'rising' | 'falling',
    durationSeconds: number,
    levelDb: number,
    clip?: CueClip,
  ): Sound {
    if (clip !== undefined) return this.clip(clip, levelDb);
    const key = `${direction} cue ${durationSeconds}`;
    let sound = this.cues.get(key);
    if (sound === undefined) this.cues.set(key, (sound = cue(direction, durationSeconds)));
    const unit = sound;
    const { lafmaxDbfs } = this.levelsOf(key, () => unit);
    const gainDb = Math.min(levelDb, 0) + VOICE_LAEQ_DBFS - lafmaxDbfs;
    return shapeSound(unit, { gain: dbToAmplitude(gainDb), fadeInSeconds: 0, fadeOutSeconds: 0 });
  }

  private clip({ sound, sha256 }: CueClip, levelDb: number): Sound {
    const name = `clip ${sha256}`;
    const levels = { ...this.levelsOf(name, () => sound), shortDbfs: this.shortOf(name, sound) };
    const voice = this.levelsOf('voice file as it is', () => this.voiceFile());
    const { laeq, lafmax, lcpeak, short, truePeak } = CODING_MARGIN_DB;
    const gainDb = clipGainDb(levels, voice, levelDb, {
      laeqDb: this.limits.laeqDb - laeq,
      lafmaxDb: this.limits.lafmaxDb - lafmax,
      lcpeakDb: this.limits.lcpeakDb - lcpeak,
      shortDb: this.limits.shortDb - short,
      truePeakDbtp: TRUE_PEAK_GATE_DBTP - truePeak,
    });
    return shapeSound(sound, { gain: dbToAmplitude(gainDb), fadeInSeconds: 0, fadeOutSeconds: 0 });
  }

  /** The short voice of a step, faded in. */
  voice(durationSeconds: number): Sound {
    const noise = voiceReference(durationSeconds);
    const { laeqDbfs } = this.levelsOf(`voice ${durationSeconds}`, () => noise);
    return shapeSound(noise, {
      gain: dbToAmplitude(VOICE_LAEQ_DBFS + this.voiceOffsetDb - laeqDbfs),
      ...VOICE_FADES,
    });
  }

  /** The voice reference as a file of its own: its LAeq from start to end is the reference. */
  voiceFile(): Sound {
    const { durationSeconds, ...fades } = VOICE_FILE;
    const noise = voiceReference(durationSeconds);
    const { laeqDbfs } = this.levelsOf('voice file', () =>
      shapeSound(noise, { gain: 1, ...fades }),
    );
    return shapeSound(noise, { gain: dbToAmplitude(VOICE_LAEQ_DBFS - laeqDbfs), ...fades });
  }

  /** From where a scan begins to be heard: a fade over the quiet before it would soften nothing. */
  private begunSound(scan: string, durationSeconds: number): Sound {
    const key = `${scan} ${durationSeconds}`;
    let sound = this.begun.get(key);
    if (sound === undefined) {
      const first = this.source(scan, durationSeconds);
      const lead = Math.round(beginsAtSeconds(shortLevelsOf(first)) * first.sampleRateHz);
      const longer =
        lead === 0 ? first : this.source(scan, durationSeconds + lead / first.sampleRateHz);
      sound = fit(withoutStart(longer, lead), durationSeconds);
      this.begun.set(key, sound);
    }
    return sound;
  }

  /** Highest level over 10 ms of a sound as it is. */
  private shortOf(name: string, sound: Sound): number {
    const key = `${name} ${sound.length}`;
    let highest = this.shortDbfs.get(key);
    if (highest === undefined) {
      highest = shortLevelsOf(sound).reduce((most, level) => Math.max(most, level), -Infinity);
      this.shortDbfs.set(key, highest);
    }
    return highest;
  }

  private levelsOf(key: string, sound: () => Sound): Levels {
    let levels = this.measured.get(key);
    if (levels === undefined) this.measured.set(key, (levels = measureSound(sound())));
    return levels;
  }
}

/** Background at a gain, softly in and out. */
export const fadedBackground = (background: Sound, gain: number): Sound =>
  shapeSound(background, {
    gain,
    fadeInSeconds: BACKGROUND_FADE_SECONDS,
    fadeOutSeconds: BACKGROUND_FADE_SECONDS,
  });

const shortLevelsOf = (sound: Sound): Float64Array => shortMeanSquares(sound).map(meanSquareToDbfs);

/** The first seconds of a sound; over and over when it is shorter. */
const fit = (sound: Sound, durationSeconds: number): Sound =>
  fitSound(sound, Math.round(durationSeconds * sound.sampleRateHz));

/** The filter opens by octaves, the rhythm comes back in proportion. */
function soften(sound: Sound, softness: number, softest: SoftnessConstants): Sound {
  if (softness === 0) return sound;
  return softenSound(sound, {
    lowPassHertz: OPEN_HZ * (softest.lowPassHertz / OPEN_HZ) ** softness,
    modulationShare: 1 - softness * (1 - softest.modulationShare),
  });
}
