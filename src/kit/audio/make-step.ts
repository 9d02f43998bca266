/**
 * A step's file and its levels: as an earlier run kept them, else made. Steps that are heard alike are
 * made once.
 *
 * @module
 */
import type { PlanConstants } from '../../protocol/plan-constants.js';
import { END_CUE } from '../../protocol/study-file.js';
import { without } from '../../protocol/without.js';
import type { Step } from '../../plan/plan.js';
import type { Sound } from '../../signal/sound.js';
import type { KitTools } from '../build.js';
import type { AudioCoding } from './coding.js';
import type { KitStudy } from '../kit-inputs.js';
import type { LevelledSounds } from './levelled-sounds.js';
import { stepAudio, type StepAudio, type StepLevels } from './step-audio.js';

export interface MadeAudio {
  readonly audio: StepLevels;
  /** Without tags. */
  readonly mp3: Uint8Array;
  /** What was encoded, or would have been. */
  readonly sound: () => Promise<Sound>;
}

/** What all steps of a kit have in common. */
export interface StepSettings {
  readonly study: Pick<KitStudy, 'background' | 'interlude' | 'cues' | 'memory'>;
  readonly levelled: LevelledSounds;
  readonly constants: Pick<PlanConstants, 'layout' | 'interludeOffsetDb'>;
  readonly bitrateKbps: AudioCoding['bitrateKbps'];
}

/** Makes the steps of one kit. */
export class StepMaker {
  private readonly made = new Map<string, Promise<MadeAudio>>();
  /** Sounds are put together one step after another, in the order in which they are asked for. */
  private prepared: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly settings: StepSettings,
    private readonly tools: Pick<KitTools, 'encodeMp3' | 'breathe'>,
  ) {}

  make(step: Step): Promise<MadeAudio> {
    const key = JSON.stringify(heardOf(step));
    let made = this.made.get(key);
    if (made === undefined) this.made.set(key, (made = this.recall(step) ?? this.makeAnew(step)));
    return made;
  }

  private async makeAnew(step: Step): Promise<MadeAudio> {
    const audio = await this.prepare(step);
    const mp3 = await this.tools.encodeMp3(audio.sound, this.settings.bitrateKbps);
    const { memory } = this.settings.study;
    memory?.keep(stepKey(step, this.settings), packed(audio, mp3));
    return { audio, mp3, sound: () => Promise.resolve(audio.sound) };
  }

  private recall(step: Step): Promise<MadeAudio> | undefined {
    const { memory } = this.settings.study;
    const kept = memory?.recall(stepKey(step, this.settings));
    if (kept === undefined) return undefined;
    const sound = async () => (await this.prepare(step)).sound;
    return Promise.resolve({ ...unpacked(kept, step), sound });
  }

  private prepare(step: Step): Promise<StepAudio> {
    const { study, levelled, constants } = this.settings;
    const audio = this.prepared.then(() =>
      stepAudio(step, constants, levelled, study, this.tools.breathe, study.cues),
    );
    this.prepared = audio.catch(() => undefined);
    return audio;
  }
}

/** A step without what is not heard of it. */
const heardOf = (step: Step) => without(step, 'number', 'change', 'posture');

/** Everything that the file of a step follows from. Of other scans, other steps and the family there is nothing in it. */
export function stepKey(
  step: Step,
  { study: { memory, cues }, levelled, constants, bitrateKbps }: StepSettings,
): string {
  const { limits, softness, voiceOffsetDb } = levelled;
  const { layout, interludeOffsetDb } = constants;
  const scans = step.sounds.map(({ scan }) => scan);
  return JSON.stringify([
    'step',
    { bitrateKbps, limits, softness, voiceOffsetDb, layout, interludeOffsetDb },
    heardOf(step),
    memory!.ofScanner,
    scans.map(scan => memory!.ofScan(scan)),
    [...scans, END_CUE].map(scan => cues?.get(scan)?.sha256 ?? null),
  ]);
}

/** Length of the levels in bytes, the levels, the file. Names of scans are left out. */
function packed(
  { durationSeconds, voice, sounds, interludes }: StepLevels,
  mp3: Uint8Array,
): Uint8Array {
  const levels: StepLevels = {
    durationSeconds,
    voice,
    sounds: sounds.map(sound => ({ ...sound, scan: '' })),
    interludes,
  };
  const text = new TextEncoder().encode(JSON.stringify(levels));
  const bytes = new Uint8Array(4 + text.length + mp3.length);
  new DataView(bytes.buffer).setUint32(0, text.length);
  bytes.set(text, 4);
  bytes.set(mp3, 4 + text.length);
  return bytes;
}

function unpacked(bytes: Uint8Array, step: Step): { audio: StepLevels; mp3: Uint8Array } {
  const end = 4 + new DataView(bytes.buffer, bytes.byteOffset).getUint32(0);
  const levels = JSON.parse(new TextDecoder().decode(bytes.subarray(4, end))) as StepLevels;
  const sounds = levels.sounds.map((sound, i) => ({ ...sound, scan: step.sounds[i]!.scan }));
  return { audio: { ...levels, sounds }, mp3: bytes.subarray(end) };
}
