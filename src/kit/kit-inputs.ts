/**
 * What a kit is made from.
 *
 * @module
 */
import type { DeviceClass } from '../levels/playback.js';
import type { MeasuredDevice } from '../levels/measured-device.js';
import type { ProtocolInterlude } from '../plan/interludes.js';
import type { PlanConstants } from '../protocol/plan-constants.js';
import type { Preset } from '../protocol/plan-preset.js';
import type { AgeBand, PlanSettings } from '../protocol/plan-settings.js';
import type { Contact } from '../protocol/study-file.js';
import type { CueClips } from './audio/cue-clips.js';
import type { ProtocolScan } from './content.js';
import type { SoundSource } from './audio/levelled-sounds.js';
import type { SoundMemory } from './audio/sound-memory.js';
import type { ScannerSounds } from './audio/step-audio.js';
import type { Texts } from './words/texts.js';

/** A study, as far as its kits need it. Sounds are in Pa at the child's ear under ear protection. */
export interface KitStudy extends ScannerSounds {
  readonly name: string;
  readonly contact: Contact;
  readonly seed: string;
  /** Reference of the ethics approval; null for none. */
  readonly approval: string | null;
  /** A paragraph of the study's own for the guide. */
  readonly guideNote?: string | undefined;
  /** SHA-256 of the protocol as it is synthesised. */
  readonly protocolHash: string;
  /** What is practised, in the order of the scan day. */
  readonly scans: readonly ProtocolScan[];
  /** What the protocol has beside them: table, pre-scan and pauses, in the order of the day. */
  readonly interludes: readonly ProtocolInterlude[];
  readonly plan: PlanSettings;
  /** Place of the plan's settings for messages: `study.yaml:12 plan.ceiling`. */
  readonly where: (path: readonly (string | number)[]) => string;
  /** Recorded cues by scan; chimes are played when there are none. */
  readonly cues?: CueClips | undefined;
  /** Sound of a scan. */
  readonly sound: SoundSource;
  /** What earlier runs made of these sounds; without it all is made anew. */
  readonly memory?: SoundMemory | undefined;
}

/** One family's part. */
export interface KitFamily {
  /** Id in the study. It goes no further than into the kit's code. */
  readonly id: string;
  readonly ageBand: AgeBand;
  /** What the family's answers ask for, beside what the study says. */
  readonly preset?: Preset | undefined;
  /** The family's device, where staff measured it with a sound level meter. */
  readonly measuredDevice?: MeasuredDevice | undefined;
  /** `YYYY-MM-DD`; undefined when it is not fixed. */
  readonly scanDate?: string | undefined;
  /** First day on which the family may practise. */
  readonly startDate?: string | undefined;
}

export interface KitInputs {
  readonly study: KitStudy;
  readonly family: KitFamily;
  readonly constants: PlanConstants;
  /** Kinds of device that a family may play the kit on. */
  readonly devices: readonly DeviceClass[];
  readonly texts: Texts;
  /** `YYYY-MM-DD`. */
  readonly today: string;
  readonly softwareVersion: string;
  /** Whether each step is written as WAV too. */
  readonly wav: boolean;
  /** Whether the steps are written as audio CDs too. */
  readonly disc: boolean;
  /** Whether the kit must be small. */
  readonly small: boolean;
}
