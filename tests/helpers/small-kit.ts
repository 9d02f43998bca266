/** A small kit that is quick to build: three invented sounds, short steps, encoded in this thread. */
import { bytesSource } from '../../src/formats/audio-stream.js';
import { joinBytes } from '../../src/formats/join-bytes.js';
import { encodeMp3, Mp3Encoder } from '../../src/formats/mp3-encoder.js';
import { buildKit, type KitFile, type KitTools } from '../../src/kit/build.js';
import type { KitFamily, KitInputs, KitStudy } from '../../src/kit/kit-inputs.js';
import type { Manifest } from '../../src/kit/manifest/manifest.js';
import { planKit } from '../../src/kit/plan-kit.js';
import type { KitReader } from '../../src/kit/verify/verify-files.js';
import { sha256, sha256Of } from '../../src/io/kit-folder.js';
import type { PlanConstants } from '../../src/protocol/plan-constants.js';
import type { PlanSettings } from '../../src/protocol/plan-settings.js';
import { fitSound } from '../../src/signal/shape-sound.js';
import { SAMPLE_RATE_HZ, type Sound, soundOf } from '../../src/signal/sound.js';
import { deviceClasses } from './device-classes.js';
import { planConstants } from './plan-constants.js';
import { sampleTexts } from './sample-kit.js';

/** Amplitude in Pa over time in s. */
type Pressure = (t: number) => number;

/** A steady hum; a buzz that comes and goes; short thumps with long pauses, whose peaks stand far out. */
const PRESSURES: Readonly<Record<string, Pressure>> = {
  hum: t => 0.05 * Math.sin(2 * Math.PI * 400 * t) + 0.02 * Math.sin(2 * Math.PI * 1200 * t),
  buzz: t => (t % 0.5 < 0.3 ? 0.2 * Math.sign(Math.sin(2 * Math.PI * 620 * t)) : 0),
  thump: t => {
    const since = t % 1;
    return since < 0.02 ? 1.5 * Math.sin(2 * Math.PI * 900 * t) * (1 - since / 0.02) : 0;
  },
};

/** Real lengths of the three scans, in s. */
const LENGTHS: Readonly<Record<string, number>> = { hum: 60, buzz: 7, thump: 3 };

/** A sound that repeats every second, computed once. */
export function soundOfPressure(pressure: Pressure, durationSeconds: number): Sound {
  let second = seconds.get(pressure);
  if (second === undefined) {
    second = Float64Array.from({ length: SAMPLE_RATE_HZ }, (_, i) => pressure(i / SAMPLE_RATE_HZ));
    seconds.set(pressure, second);
  }
  return fitSound(soundOf(second), Math.round(durationSeconds * SAMPLE_RATE_HZ));
}

const seconds = new Map<Pressure, Float64Array>();

const BACKGROUND: Pressure = t => 0.001 * Math.sin(2 * Math.PI * 150 * t);

export const smallSource = (scan: string, durationSeconds: number): Sound =>
  soundOfPressure(PRESSURES[scan]!, Math.min(durationSeconds, LENGTHS[scan]!));

/** The shipped constants with short sounds and two axes besides the level. */
export const smallConstants: PlanConstants = {
  ...planConstants,
  shortestSoundSeconds: 4,
  bands: planConstants.bands.map(band => ({
    ...band,
    first: { sounds: 2, soundSeconds: 4, onsetSeconds: 2, softness: 0, announced: true },
    changes: [
      { axis: 'sounds', to: 'all' },
      ...Array.from({ length: 6 }, () => ({ axis: 'level' }) as const),
      { axis: 'onset', to: 0.1 },
      { axis: 'duration', to: 6 },
    ],
    ending: [{ axis: 'order' }],
  })),
};

export function smallStudy(plan: PlanSettings = {}): KitStudy {
  return {
    name: 'Small study',
    contact: { name: 'Study office', phone: '+00 000 0000' },
    seed: 'small-1',
    approval: 'REF 1',
    protocolHash: 'a'.repeat(64),
    scans: Object.entries(LENGTHS).map(([name, durationSeconds]) => ({
      name,
      plainName: `The ${name}`,
      durationSeconds,
    })),
    interludes: [],
    plan,
    where: path => `study.yaml:9 ${path.join('.')}`,
    sound: smallSource,
    background: durationSeconds => soundOfPressure(BACKGROUND, durationSeconds),
    interlude: (_kind, durationSeconds) => soundOfPressure(PRESSURES['hum']!, durationSeconds),
  };
}

export function smallInputs(
  plan: PlanSettings = {},
  family: Partial<KitFamily> = {},
  changes: Partial<KitInputs> = {},
): KitInputs {
  return {
    study: smallStudy(plan),
    family: { id: 'F1', ageBand: '7-9', ...family },
    constants: smallConstants,
    devices: deviceClasses,
    texts: sampleTexts(),
    today: '2027-03-01',
    softwareVersion: '1.2.3',
    wav: false,
    disc: false,
    small: false,
    ...changes,
  };
}

export { sha256, sha256Of };

const encoder = await Mp3Encoder.create();

/** Page and guide are not looked at here: they only show what they were given. */
export const smallTools: KitTools = {
  encodeMp3: (sound, bitrateKbps) => Promise.resolve(encodeMp3(encoder, sound, bitrateKbps)),
  breathe: () => Promise.resolve(),
  sha256,
  sha256Of,
  renderPage: content => `<!doctype html>${JSON.stringify(content)}`,
  renderGuide: content => Promise.resolve(new TextEncoder().encode(`%PDF ${content.manifest.kit}`)),
  renderPictureCard: () => Promise.resolve(new TextEncoder().encode('%PDF pictures')),
};

/** A kit's files as `verifyKit` reads them. */
export const readerOf = (name: string, files: ReadonlyMap<string, Uint8Array>): KitReader => ({
  name,
  files: [...files.keys()],
  open: path => ({ ...bytesSource(files.get(path)!), close: () => undefined }),
});

export interface BuiltKit {
  readonly files: ReadonlyMap<string, Uint8Array>;
  readonly order: readonly string[];
  readonly manifest: Manifest;
}

export async function buildSmallKit(
  inputs: KitInputs,
  tools: Partial<KitTools> = {},
): Promise<BuiltKit> {
  const building = buildKit(inputs, planKit(inputs, sha256), { ...smallTools, ...tools });
  const files: KitFile[] = [];
  for (;;) {
    const next = await building.next();
    if (next.done === true) {
      const byPath = new Map(files.map(({ path, bytes }) => [path, bytes]));
      return { files: byPath, order: files.map(({ path }) => path), manifest: next.value };
    }
    const { path, bytes, more } = next.value;
    const rest: Uint8Array[] = [];
    for await (const piece of more ?? []) rest.push(piece);
    files.push({ path, bytes: joinBytes([bytes, ...rest]) });
  }
}
