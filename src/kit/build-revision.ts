/**
 * The files of a kit that a new plan changes.
 *
 * @module
 */
import { joinBytes } from '../formats/join-bytes.js';
import { formatSha256Sums } from '../formats/sha256sums.js';
import { wavBytes } from '../formats/wav-writer.js';
import { offsetLimits } from '../levels/limits.js';
import { type KitFile, type KitTools, stepPath, SUMS_PATH } from './build.js';
import { kitDocuments } from './kit-documents.js';
import type { KitStudy } from './kit-inputs.js';
import { LevelledSounds } from './audio/levelled-sounds.js';
import { StepMaker } from './audio/make-step.js';
import { type MadeStep, manifestStep } from './manifest/manifest-step.js';
import type { Manifest } from './manifest/manifest.js';
import { listenerOf } from './plan-kit.js';
import { type Revision, revisedManifest } from './revise-kit.js';
import { stepCount, stepTag } from './tags.js';
import { kindOf, textsFor } from './words/texts-for.js';
import type { Texts } from './words/texts.js';

export interface RevisionInputs {
  readonly manifest: Manifest;
  readonly revision: Revision;
  /** The study that the kit was made from; only for steps that the kit does not have yet. */
  readonly study: KitStudy | null;
  readonly texts: Texts;
  /** Checksums of the kit's files as they are. */
  readonly sums: ReadonlyMap<string, string>;
}

/**
 * Makes the files that change, the checksums of all last.
 *
 * @returns (when done) what stands in `kit.json`.
 * @throws {RangeError} There are steps to make, and no study.
 */
export async function* buildRevision(
  { manifest, revision, study, texts: allTexts, sums: before }: RevisionInputs,
  tools: KitTools,
): AsyncGenerator<KitFile, Manifest> {
  const texts = textsFor(allTexts, kindOf(manifest));
  const sums = new Map(before);
  const file = (path: string, content: Uint8Array | string): KitFile => {
    const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
    sums.set(path, tools.sha256(bytes));
    return { path, bytes };
  };
  const hasWav = before.has(stepPath(manifest.steps[0]!, 'wav'));
  const made: MadeStep[] = [];
  for (const { step, audio, mp3, sound } of await newAudio(manifest, revision, study, tools)) {
    tools.onAudio?.();
    const tag = stepTag(step.number, stepCount(manifest.steps), manifest.kit, texts);
    const mp3File = file(stepPath(step, 'mp3'), joinBytes([tag, mp3]));
    made.push({ step, audio, file: mp3File.path, sha256: sums.get(mp3File.path)! });
    yield mp3File;
    if (!hasWav) continue;
    const seed = `${manifest.seed} step ${step.number}`;
    yield file(stepPath(step, 'wav'), joinBytes([...wavBytes(await sound(), { seed })]));
  }
  const plainNames = new Map(
    manifest.documents.protocol.map(({ name, plainName }) => [name, plainName]),
  );
  const revised = revisedManifest(
    manifest,
    revision,
    made.map(step => manifestStep(step, plainNames, manifest.voiceReference.assumedDba)),
  );
  for await (const [path, content] of kitDocuments(revised, texts, tools, hasWav)) {
    yield file(path, content);
  }
  const all = [...sums].map(([path, sha256]) => ({ path, sha256 }));
  yield { path: SUMS_PATH, bytes: new TextEncoder().encode(formatSha256Sums(all)) };
  return revised;
}

/** The audio of steps that the kit does not have yet, at the levels and limits that it was made with. */
async function newAudio(
  { ageBand, ceiling, voiceReference, plan, steps, coding }: Manifest,
  { newSteps }: Revision,
  study: KitStudy | null,
  tools: KitTools,
) {
  if (newSteps.length === 0) return [];
  if (study === null) throw new RangeError('new steps cannot be made without the study');
  const { constants } = plan;
  const levelled = new LevelledSounds(
    study.sound,
    offsetLimits(ceiling, listenerOf({ ageBand }), voiceReference.assumedDba),
    constants.softness,
    steps[0]!.voice.offsetDb,
  );
  const { bitrateKbps } = coding;
  const maker = new StepMaker({ study, levelled, constants, bitrateKbps }, tools);
  return Promise.all(newSteps.map(async step => ({ step, ...(await maker.make(step)) })));
}
