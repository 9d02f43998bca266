/**
 * A kit's files, one after another.
 *
 * @module
 */
import { joinBytes } from '../formats/join-bytes.js';
import { type Checksum, formatSha256Sums } from '../formats/sha256sums.js';
import { wavBytes } from '../formats/wav-writer.js';
import { stepDurationSeconds } from '../plan/layout.js';
import type { Step } from '../plan/plan.js';
import type { Sound } from '../signal/sound.js';
import { buildManifest } from './manifest/build-manifest.js';
import { type AudioCoding, audioCoding, requireSize } from './audio/coding.js';
import { cueLengthsOf } from './audio/cue-clips.js';
import { type DiscFiles, type DiscSound, discFiles } from './disc/disc-files.js';
import { type DocumentTools, kitDocuments } from './kit-documents.js';
import type { KitInputs } from './kit-inputs.js';
import { LevelledSounds, VOICE_FILE } from './audio/levelled-sounds.js';
import { emptyLog } from './paper/log-file.js';
import { StepMaker } from './audio/make-step.js';
import type { MadeStep } from './manifest/manifest-step.js';
import type { Manifest, ManifestDisc } from './manifest/manifest.js';
import type { KitPlan } from './plan-kit.js';
import { rememberedBytes } from './audio/sound-memory.js';
import { stepCount, stepTag, stepTitle, voiceTag } from './tags.js';
import { textsFor } from './words/texts-for.js';

/** A file of a kit. */
export interface KitFile {
  /** Relative to the kit, forward slashes. */
  readonly path: string;
  readonly bytes: Uint8Array;
  /** What follows them in a file too large to be held whole; read once, before the next file is asked for. */
  readonly more?: AsyncIterable<Uint8Array> | undefined;
}

/** What the machine lends to the building of a kit. */
export interface KitTools extends DocumentTools {
  /** A sound as MP3 without tags. All steps are asked for at once, the longest first. */
  readonly encodeMp3: (
    sound: Sound,
    bitrateKbps: AudioCoding['bitrateKbps'],
  ) => Promise<Uint8Array>;
  /** Called for each audio file that is made, or was made by an earlier run. */
  readonly onAudio?: (() => void) | undefined;
  /** Lets other work have its turn; called every tenth of a second or so. */
  readonly breathe: () => Promise<void>;
  /** In lower-case hexadecimal; text as UTF-8. */
  readonly sha256: (content: Uint8Array | string) => string;
  /** The same of content that comes in pieces. */
  readonly sha256Of: () => {
    readonly update: (piece: Uint8Array) => void;
    readonly digest: () => string;
  };
}

export const VOICE_PATH = 'voice-reference.mp3';

/** What a family notes: the one file that may change at home. */
export const LOG_PATH = 'log.csv';

/** Where the checksums of all other files stand. */
export const SUMS_PATH = 'SHA256SUMS';

/** Half steps have a letter, so that files sort as the steps do. */
export function stepPath({ number }: Pick<Step, 'number'>, extension: string): string {
  const half = Number.isInteger(number) ? '' : 'b';
  return `steps/step-${String(Math.floor(number)).padStart(2, '0')}${half}.${extension}`;
}

/**
 * Makes the files of a kit, the checksums last.
 *
 * @returns (when done) what stands in `kit.json`.
 */
export async function* buildKit(
  inputs: KitInputs,
  kitPlan: KitPlan,
  tools: KitTools,
): AsyncGenerator<KitFile, Manifest> {
  const texts = textsFor(inputs.texts, {
    preset: kitPlan.plan.preset,
    isMarked: kitPlan.measuredDevice !== null,
  });
  const sums: Checksum[] = [];
  let size = 0;
  const file = (path: string, content: Uint8Array | string): KitFile => {
    const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
    sums.push({ path, sha256: tools.sha256(bytes) });
    size += bytes.length;
    return { path, bytes };
  };
  const levelled = new LevelledSounds(
    inputs.study.sound,
    kitPlan.limits,
    kitPlan.constants.softness,
    kitPlan.voiceOffsetDb,
  );

  const coding = codingOf(inputs, kitPlan);
  const { bitrateKbps } = coding;

  const voice = await rememberedBytes(
    inputs.study.memory,
    () => ['voice', VOICE_FILE, bitrateKbps],
    () => tools.encodeMp3(levelled.voiceFile(), bitrateKbps),
  );
  tools.onAudio?.();
  yield file(VOICE_PATH, joinBytes([voiceTag(kitPlan.code, texts), voice]));

  const made: MadeStep[] = [];
  const sounds: DiscSound[] = [];
  for await (const { step, audio, mp3, sound } of steps(inputs, kitPlan, tools, levelled, coding)) {
    tools.onAudio?.();
    const tag = stepTag(step.number, stepCount(kitPlan.plan.steps), kitPlan.code, texts);
    const mp3File = file(stepPath(step, 'mp3'), joinBytes([tag, mp3]));
    made.push({ step, audio, file: mp3File.path, sha256: sums.at(-1)!.sha256 });
    yield mp3File;
    if (inputs.disc) sounds.push({ number: step.number, sound: await sound() });
    if (!inputs.wav) continue;
    const seed = `${inputs.study.seed} step ${step.number}`;
    yield file(stepPath(step, 'wav'), joinBytes([...wavBytes(await sound(), { seed })]));
  }

  const discs: ManifestDisc[] = [];
  if (inputs.disc) {
    for (const { image, sheet, ...disc } of discsOf(inputs, kitPlan, sounds, levelled)) {
      const hash = tools.sha256Of();
      yield { path: disc.file, bytes: new Uint8Array(0), more: hashed(image, hash, tools.breathe) };
      const sum = { path: disc.file, sha256: hash.digest() };
      sums.push(sum);
      discs.push({ ...disc, sha256: sum.sha256 });
      yield file(disc.cueSheet, sheet);
    }
  }

  const manifest = buildManifest(
    inputs,
    kitPlan,
    made,
    { voice: sums[0]!, discs, coding },
    tools.sha256,
  );
  for await (const [path, content] of kitDocuments(manifest, texts, tools, inputs.wav)) {
    yield file(path, content);
  }
  yield file(LOG_PATH, emptyLog());
  requireSize(size, coding);
  yield { path: SUMS_PATH, bytes: new TextEncoder().encode(formatSha256Sums(sums)) };
  return manifest;
}

/**
 * How the audio of a kit is coded.
 *
 * @throws {UserError} `BAD_USAGE`: it must be small and cannot be.
 */
export function codingOf({ study, small }: KitInputs, { plan, constants }: KitPlan): AudioCoding {
  const { layout } = constants;
  const cueLengths = cueLengthsOf(study.cues, layout.cueSeconds);
  const steps = plan.steps.map(step => stepDurationSeconds(step, layout, cueLengths));
  return audioCoding([VOICE_FILE.durationSeconds, ...steps], small);
}

/** The steps in order. The longest are encoded first, so that no core waits for them at the end. */
async function* steps(
  inputs: KitInputs,
  { plan, constants }: KitPlan,
  tools: KitTools,
  levelled: LevelledSounds,
  { bitrateKbps }: AudioCoding,
) {
  const { layout } = constants;
  const cueLengths = cueLengthsOf(inputs.study.cues, layout.cueSeconds);
  const lengthOf = (step: Step): number => stepDurationSeconds(step, layout, cueLengths);
  const { study } = inputs;
  const maker = new StepMaker({ study, levelled, constants, bitrateKbps }, tools);
  const running = new Map(
    plan.steps
      .toSorted((a, b) => lengthOf(b) - lengthOf(a))
      .map(step => {
        const made = maker.make(step);
        // Awaited below, perhaps after another one has failed.
        made.catch(() => undefined);
        return [step, made] as const;
      }),
  );
  for (const step of plan.steps) yield { step, ...(await running.get(step)!) };
}

function discsOf(
  { texts, study }: KitInputs,
  { code }: KitPlan,
  steps: readonly DiscSound[],
  levelled: LevelledSounds,
): readonly DiscFiles[] {
  return discFiles({
    title: `${texts.words.common.title} (${code})`,
    titleOf: index =>
      index === null
        ? texts.words.volume.title
        : stepTitle(steps[index]!.number, steps.length, texts),
    seed: study.seed,
    voice: levelled.voiceFile(),
    steps,
  });
}

/** Pieces handed on, with their checksum. */
async function* hashed(
  pieces: Iterable<Uint8Array>,
  hash: ReturnType<KitTools['sha256Of']>,
  breathe: () => Promise<void>,
): AsyncGenerator<Uint8Array> {
  for (const piece of pieces) {
    hash.update(piece);
    yield piece;
    await breathe();
  }
}
