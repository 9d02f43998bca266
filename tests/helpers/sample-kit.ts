/** An invented kit for tests of page and guide: content, texts, fonts, and short audio files of plain tones. */
import { readFileSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { createMp3Encoder } from 'wasm-media-encoders';
import { parse } from 'yaml';
import { usedConstants } from '../../src/kit/manifest/build-manifest.js';
import type { KitContent } from '../../src/kit/content.js';
import { type DocumentFonts, FONT_FILES } from '../../src/kit/paper/document-fonts.js';
import { PAGE_SCRIPTS, PAGE_STYLE, type PageParts } from '../../src/kit/screens/page.js';
import type { Manifest, ManifestSound, ManifestStep } from '../../src/kit/manifest/manifest.js';
import type { SoundPicture } from '../../src/kit/audio/sound-picture.js';
import { kitPlayback } from '../../src/kit/manifest/playback.js';
import { parseTexts, type Texts } from '../../src/kit/words/texts.js';
import { VOICE_DBA } from '../../src/levels/limits.js';
import { deviceClasses } from './device-classes.js';
import { planConstants, presetOf } from './plan-constants.js';

const ROOT = path.resolve(import.meta.dirname, '../..');

const SAMPLE_RATE_HZ = 44_100;

/** Names as a study would give them; each sound lasts as long as its step says. */
const NAMES = [
  'First star',
  'Star map',
  'Moon picture',
  'Slow comet',
  'Two little rockets',
  'Humming stars',
  'Film under the stars',
  'Big rocket',
];

const SCANS = [
  'localiser',
  'fieldmap-gre',
  't1',
  't2',
  'fieldmap-epi',
  'rest',
  'film',
  'diffusion',
];

/** How long each takes on the day, in s. */
const LENGTHS_SECONDS = [15, 42, 290, 250, 27, 360, 450, 256];

const CONTACT = {
  name: 'Night Sky study office',
  phone: '+00 000 0000',
  email: 'night-sky@example.org',
};

/** What each step changes, its level re the voice reference in dB, how many sounds, and their length in s. */
const LADDER: readonly (readonly [
  change: string,
  offsetDb: number,
  sounds: number,
  lengthSeconds: number,
])[] = [
  ['start', -18, 1, 1],
  ['level', -15, 1, 1],
  ['sounds', -15, 2, 1],
  ['level', -12, 2, 1],
  ['level', -9, 2, 1],
  ['sounds', -9, 4, 1],
  ['duration', -9, 4, 40],
  ['level', -6, 4, 40],
  ['sounds', -6, 6, 40],
  ['level', -3, 6, 40],
  ['order', -3, 8, 40],
  ['level', 0, 8, 40],
];

/** First day of the sample plan. */
export const FIRST_DAY = '2027-06-01';

export function sampleManifest(changes: Partial<Manifest> = {}): Manifest {
  const steps = LADDER.map((rung, index) => sampleStep(index + 1, ...rung));
  const sessions = steps.map(({ number }, index) => ({
    day: index + 1,
    date: `2027-06-${String(index + 1).padStart(2, '0')}`,
    step: number,
  }));
  return {
    kit: 'K7F3-M',
    version: 1,
    study: 'Night Sky Study',
    protocolHash: 'a'.repeat(64),
    seed: 'sample',
    software: { name: 'softknock', version: '0.1.0' },
    approval: null,
    ageBand: '7-9',
    preset: 'awake',
    listener: 'child',
    ceiling: { laeqDba: 65, raisedBy: null },
    voiceReference: {
      file: 'voice-reference.mp3',
      sha256: 'b'.repeat(64),
      durationSeconds: 6,
      laeqDbfs: -30,
      assumedDba: { low: 52, expected: 60, high: 68 },
      measured: null,
    },
    ranking: [],
    cues: [],
    pictures: SCANS.map((scan, index) => samplePicture(scan, index)),
    steps,
    discs: [],
    coding: { bitrateKbps: 64, lostAboveHertz: null, limitBytes: null },
    sessions,
    playback: kitPlayback({
      steps,
      sessions,
      layout: planConstants.layout,
      listener: 'child',
      voiceDba: VOICE_DBA,
      devices: deviceClasses,
      sounds: [],
    }),
    plan: {
      days: steps.length,
      startDate: FIRST_DAY,
      scanDate: '2027-06-14',
      droppedSteps: 0,
      constants: usedConstants(presetOf('7-9')),
    },
    documents: {
      language: 'en',
      isReviewed: true,
      textsHash: 'd'.repeat(64),
      contact: CONTACT,
      protocol: SCANS.map((name, index) => ({
        name,
        plainName: NAMES[index]!,
        durationSeconds: LENGTHS_SECONDS[index]!,
      })),
      guideNote: null,
    },
    history: [],
    notes: [],
    ...changes,
  };
}

export function sampleContent(changes: Partial<KitContent> = {}): KitContent {
  return {
    manifest: sampleManifest(),
    contact: CONTACT,
    language: 'en',
    scanDate: '2027-06-14',
    protocol: SCANS.map((name, index) => ({
      name,
      plainName: NAMES[index]!,
      durationSeconds: LENGTHS_SECONDS[index]!,
    })),
    guideNote: 'Your child can bring a soft toy without metal to the scan.',
    ...changes,
  };
}

export const sampleTexts = (language = 'en'): Texts =>
  parseTexts(
    parse(readFileSync(path.join(ROOT, `sounds-synth/texts/${language}.yaml`), 'utf8')),
    `${language}.yaml`,
  );

export const sampleFonts: DocumentFonts = FONT_FILES.map(({ name, regular, bold }) => ({
  name,
  regular: readFileSync(path.join(ROOT, 'node_modules', regular)),
  bold: readFileSync(path.join(ROOT, 'node_modules', bold)),
}));

export const pageFile = (name: string): string =>
  readFileSync(path.join(ROOT, 'sounds-synth/page', name), 'utf8');

export const samplePageParts = (): PageParts => ({
  style: pageFile(PAGE_STYLE),
  scripts: PAGE_SCRIPTS.map(pageFile),
  fonts: sampleFonts,
});

/**
 * Writes the audio files of a manifest below a folder: a tone where a sound is, silence elsewhere.
 * Long steps all get one short file, so that tests are quick.
 */
export async function writeSampleAudio(folder: string, manifest: Manifest): Promise<void> {
  await mkdir(path.join(folder, 'steps'), { recursive: true });
  const reference = await tone(10, [[0.2, 10]]);
  await writeFile(path.join(folder, manifest.voiceReference.file), reference);
  for (const step of manifest.steps) {
    const spans = step.sounds.map(sound => [sound.startSeconds, sound.endSeconds] as const);
    const isLong = step.durationSeconds > 30;
    await writeFile(
      path.join(folder, step.file),
      isLong ? reference : await tone(step.durationSeconds, spans),
    );
  }
}

/** A rhythm of its own for each scan, and a bump of pitches that wanders up. */
function samplePicture(scan: string, index: number): SoundPicture {
  const share = (value: number): number => Math.round(100 * value) / 100;
  return {
    scan,
    shape: Array.from({ length: 40 }, (_, place) =>
      share(0.5 + 0.5 * Math.cos((2 * Math.PI * place * (index + 2)) / 40)),
    ),
    spectrum: Array.from({ length: 20 }, (_, band) =>
      share(Math.exp(-((band - 5 - index) ** 2) / 18)),
    ),
  };
}

/** Where the sounds of a sample step begin, and the pauses between them, in s. */
const LEAD_SECONDS = 1;
const PAUSE_SECONDS = 0.5;

function sampleStep(
  number: number,
  change: string,
  offsetDb: number,
  count: number,
  lengthSeconds: number,
): ManifestStep {
  const sounds = Array.from({ length: count }, (_, place): ManifestSound => {
    const startSeconds = LEAD_SECONDS + place * (lengthSeconds + PAUSE_SECONDS);
    return {
      scan: SCANS[place]!,
      plainName: NAMES[place]!,
      startSeconds,
      endSeconds: startSeconds + lengthSeconds,
      offsetDb,
      laeqDbfs: -30 + offsetDb,
      lafmaxOffsetDb: offsetDb + 2,
      softness: 0,
    };
  });
  const expected = 60 + offsetDb;
  return {
    number,
    file: `steps/step-${String(number).padStart(2, '0')}.mp3`,
    sha256: 'c'.repeat(64),
    change,
    order: 'gentle',
    softness: 0,
    announced: true,
    posture: 'any',
    plannedOffsetDb: offsetDb,
    durationSeconds: sounds.at(-1)!.endSeconds + PAUSE_SECONDS,
    onsetSeconds: 1,
    voice: { startSeconds: 0, endSeconds: 1, offsetDb: 0 },
    sounds,
    interludes: [],
    estimatedLaeqDba: { low: expected - 8, expected, high: expected + 8 },
    weeklyDosePercent: { intended: 0.06, tenTooLoud: 0.6, twentyTooLoud: 6 },
  };
}

/** An MP3 of a 300 Hz tone during `spans`, in s, each faded in over half a second. */
async function tone(
  durationSeconds: number,
  spans: readonly (readonly [startSeconds: number, endSeconds: number])[],
): Promise<Uint8Array> {
  const samples = new Float32Array(Math.round(durationSeconds * SAMPLE_RATE_HZ));
  for (const [startSeconds, endSeconds] of spans) {
    for (let n = Math.round(startSeconds * SAMPLE_RATE_HZ); n < endSeconds * SAMPLE_RATE_HZ; n++) {
      const t = n / SAMPLE_RATE_HZ;
      samples[n] = 0.05 * Math.min(1, (t - startSeconds) / 0.5) * Math.sin(2 * Math.PI * 300 * t);
    }
  }
  const encoder = await createMp3Encoder();
  encoder.configure({ sampleRate: SAMPLE_RATE_HZ, channels: 1, bitrate: 48 });
  // The encoder returns views of one buffer: copy before it is used again.
  return Buffer.concat([Buffer.from(encoder.encode([samples])), Buffer.from(encoder.finalize())]);
}
