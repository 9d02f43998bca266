/**
 * The discs of a kit: image and sheet as the Red Book wants them and as the manifest says, every
 * level measured again.
 *
 * @module
 */
import type { ByteSource } from '../../formats/audio-stream.js';
import {
  BYTES_PER_FRAME,
  type CueSheet,
  FRAMES_PER_SECOND,
  MAX_TRACKS,
  parseCueSheet,
} from '../../formats/cue-sheet.js';
import { openWav } from '../../formats/wav.js';
import { wavLayout } from '../../formats/wav-layout.js';
import type { OffsetLimits } from '../../levels/limits.js';
import { SAMPLE_RATE_HZ } from '../../signal/sound.js';
import { DISC_MINUTES } from '../disc/disc.js';
import type { Findings } from './findings.js';
import { playedParts } from '../audio/heard-parts.js';
import type { Manifest, ManifestDisc, ManifestStep } from '../manifest/manifest.js';
import { measureAudio, type Stretch } from './verify-audio.js';
import { checkGates } from './verify-gates.js';

/**
 * Checks one disc.
 *
 * @param image - Its WAV file.
 * @param sheet - Text of its CUE sheet.
 * @param referenceDbfs - LAeq of the kit's voice reference.
 * @throws {UserError} `BAD_AUDIO`: the image is no WAV file.
 */
export async function verifyDisc(
  disc: ManifestDisc,
  manifest: Manifest,
  { image, sheet }: { readonly image: ByteSource; readonly sheet: string },
  { limits, referenceDbfs, voiceDba, findings }: DiscTools,
): Promise<void> {
  checkSheet(disc, sheet, findings);
  if (!checkImage(disc, image, findings)) return;
  const steps = new Map(manifest.steps.map(step => [step.number, step]));
  const { durationSeconds } = manifest.voiceReference;
  const heard = disc.tracks.flatMap(({ step, startFrame }) => {
    const trackSeconds = startFrame / FRAMES_PER_SECOND;
    const within = step === null ? [wholeVoice(durationSeconds)] : heardIn(steps.get(step));
    return within.map(part => ({
      ...part,
      startSeconds: trackSeconds + part.startSeconds,
      endSeconds: trackSeconds + part.endSeconds,
    }));
  });
  const audio = openWav(image, disc.file);
  const measured = await measureAudio(audio, heard);
  for (const [i, { laeqDbfs }] of measured.stretches.entries()) {
    const { what, offsetDb, isVoice } = heard[i]!;
    const [where, measuredDb] = [`${disc.file} ${what}`, laeqDbfs - referenceDbfs];
    findings.compare(where, 'level', measuredDb, offsetDb, 'dB re voice');
    if (!isVoice) findings.limit(where, 'LAeq', measuredDb, limits.laeqDb);
  }
  checkGates(disc.file, measured, referenceDbfs, limits, findings, voiceDba);
}

export interface DiscTools {
  readonly limits: OffsetLimits;
  readonly referenceDbfs: number;
  /** Level of the voice reference at the listener's place, as expected. */
  readonly voiceDba: number;
  readonly findings: Findings;
}

/** Something that a track must have at a level. */
interface HeardPart extends Stretch {
  readonly what: string;
  /** dB re the voice reference. */
  readonly offsetDb: number;
  readonly isVoice: boolean;
}

const wholeVoice = (endSeconds: number): HeardPart => ({
  what: 'voice reference',
  startSeconds: 0,
  endSeconds,
  offsetDb: 0,
  isVoice: true,
  isReference: true,
});

function heardIn(step: ManifestStep | undefined): readonly HeardPart[] {
  if (step === undefined) return [];
  const { number, voice } = step;
  return [
    {
      what: `step ${number} voice`,
      startSeconds: voice.startSeconds,
      endSeconds: voice.endSeconds,
      offsetDb: voice.offsetDb,
      isVoice: true,
    },
    ...playedParts(step).map(({ what, startSeconds, endSeconds, offsetDb }) => ({
      what: `step ${number} ${what}`,
      startSeconds: startSeconds,
      endSeconds: endSeconds,
      offsetDb,
      isVoice: false,
    })),
  ];
}

function checkSheet(
  { file, cueSheet, frames, tracks }: ManifestDisc,
  sheet: string,
  findings: Findings,
): void {
  let parsed: CueSheet;
  try {
    parsed = parseCueSheet(sheet);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    findings.report(cueSheet, error.message, 'a CUE sheet of one WAV file');
    return;
  }
  const name = file.split('/').at(-1)!;
  if (parsed.file !== name) findings.report(cueSheet, `the image ${parsed.file}`, name);
  const [found, stated] = [parsed.tracks, tracks].map(list =>
    list.map(({ startFrame }) => startFrame).join(', '),
  );
  if (found !== stated) {
    findings.report(cueSheet, `tracks that start at frames ${found}`, `tracks at ${stated}`);
  }
  const most = DISC_MINUTES * 60 * FRAMES_PER_SECOND;
  if (tracks.length > MAX_TRACKS || frames > most) {
    findings.report(
      cueSheet,
      `${tracks.length} tracks of ${(frames / FRAMES_PER_SECOND / 60).toFixed(1)} min`,
      `at most ${MAX_TRACKS} tracks and ${DISC_MINUTES} min`,
    );
  }
}

/** Whether the image is as a CD has it, as long as it says. */
function checkImage(
  { file, frames }: ManifestDisc,
  image: ByteSource,
  findings: Findings,
): boolean {
  const { format, channels, sampleRateHz, ...layout } = wavLayout(image, file);
  const bytes = layout.frames * layout.frameBytes;
  const found = `${sampleRateHz} Hz, ${format.bits}-bit ${format.encoding}, ${channels} channels, ${bytes} bytes`;
  const allowed = `${SAMPLE_RATE_HZ} Hz, 16-bit integer, 2 channels, ${frames * BYTES_PER_FRAME} bytes`;
  if (found === allowed) return true;
  findings.report(file, found, allowed);
  return false;
}
