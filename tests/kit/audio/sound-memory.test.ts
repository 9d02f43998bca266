/** Kits from what earlier runs kept: the same bytes, and never a step that would sound otherwise. */
import { describe, expect, test, vi } from 'vitest';
import type { KitInputs } from '../../../src/kit/kit-inputs.js';
import { LevelledSounds } from '../../../src/kit/audio/levelled-sounds.js';
import { stepKey, type StepSettings } from '../../../src/kit/audio/make-step.js';
import type { Memory, SoundMemory } from '../../../src/kit/audio/sound-memory.js';
import { kitStudyOf } from '../../../src/io/kit-study.js';
import type { LoadedStudy } from '../../../src/io/load-study.js';
import { prepareStudy } from '../../../src/io/load-study.js';
import { impulseResponse, magnitudeResponse } from '../../../src/acoustics/measured-response.js';
import type { Step } from '../../../src/plan/plan.js';
import { readStudyFile } from '../../../src/protocol/read-study-file.js';
import { soundOf } from '../../../src/signal/sound.js';
import {
  type BuiltKit,
  buildSmallKit,
  sha256,
  smallConstants,
  smallInputs,
  smallSource,
  smallTools,
} from '../../helpers/small-kit.js';
import { library } from '../../helpers/study.js';

/** A memory that forgets nothing, and tells what was asked of it. */
function heldMemory() {
  const results = new Map<string, Uint8Array>();
  const memory: Memory = {
    recall: key => results.get(key),
    keep: (key, result) => void results.set(key, result),
  };
  return { results, memory };
}

const ofSmall = (memory: Memory): SoundMemory => ({
  ...memory,
  ofScan: scan => `sound of ${scan}`,
  ofScanner: 'scanner',
});

const withMemory = (inputs: KitInputs, memory: Memory): KitInputs => ({
  ...inputs,
  study: { ...inputs.study, memory: ofSmall(memory) },
});

/** Checksums by path. */
const sumsOf = ({ files }: BuiltKit) =>
  Object.fromEntries([...files].map(([path, bytes]) => [path, sha256(bytes)]));

/** Encodes, and counts. */
function counting() {
  const encodeMp3 = vi.fn(smallTools.encodeMp3);
  return { encodeMp3, tools: { encodeMp3, onAudio: vi.fn() } };
}

describe('a kit', async () => {
  const inputs = smallInputs({}, { id: 'FAMILY-77' }, { wav: true });
  const { memory, results } = heldMemory();
  const first = counting();
  const cold = await buildSmallKit(withMemory(inputs, memory), first.tools);

  test('is the same without a memory, with an empty one and with a full one, which saves all the work', async () => {
    const kept = results.size;
    const second = counting();
    const warm = await buildSmallKit(withMemory(inputs, memory), second.tools);
    const plain = await buildSmallKit(inputs);
    expect(sumsOf(cold)).toEqual(sumsOf(plain));
    expect(sumsOf(warm)).toEqual(sumsOf(plain));
    expect(warm.manifest).toEqual(plain.manifest);
    expect(second.encodeMp3).not.toHaveBeenCalled();
    expect(results.size).toBe(kept);
    const files = plain.manifest.steps.length + 1;
    for (const { tools } of [first, second]) expect(tools.onAudio).toHaveBeenCalledTimes(files);
  });

  test('of another family of the study takes all steps that are heard alike', async () => {
    const { encodeMp3, tools } = counting();
    await buildSmallKit(withMemory(smallInputs({}, { id: 'F2' }), memory), tools);
    expect(encodeMp3).not.toHaveBeenCalled();
  });

  test('encodes steps that are heard alike once, also without a memory', async () => {
    const constants = {
      ...smallConstants,
      bands: smallConstants.bands.map(band => ({
        ...band,
        ending: [{ axis: 'posture' } as const, ...band.ending],
      })),
    };
    const { encodeMp3, tools } = counting();
    const { manifest, files } = await buildSmallKit(smallInputs({}, {}, { constants }), tools);
    const changes = manifest.steps.map(({ change }) => change);
    expect(changes).toContain('posture');
    // The voice reference, and every step but the one in which only the child does something else.
    expect(encodeMp3).toHaveBeenCalledTimes(manifest.steps.length);
    const at = changes.indexOf('posture');
    const [before, same] = [manifest.steps[at - 1]!, manifest.steps[at]!];
    const [one, two] = [before, same].map(({ file }) => files.get(file)!);
    expect(one!.subarray(-1000)).toEqual(two!.subarray(-1000));
  });

  test('leaves no name of family, study or scan in what is kept, and none of the study in keys', () => {
    const names = ['FAMILY-77', inputs.study.name, ...inputs.study.scans.map(scan => scan.name)];
    const levels = [...results.values()].map(
      result => Buffer.from(result).toString('latin1').split('\xff')[0]!,
    );
    for (const name of names) expect(levels.join('\n')).not.toContain(name);
    for (const key of results.keys()) {
      expect(key).not.toContain('FAMILY-77');
      expect(key).not.toContain(inputs.study.name);
    }
  });
});

const STEP: Step = {
  number: 3,
  change: 'level',
  levelDb: -6,
  onsetSeconds: 1,
  softness: 0,
  announced: true,
  posture: 'any',
  order: 'gentle',
  sounds: [
    { scan: 'hum', durationSeconds: 4, softness: 0 },
    { scan: 'buzz', durationSeconds: 4, softness: 0 },
  ],
  interludes: [],
};

const LIMITS = { laeqDb: 5, lafmaxDb: 11, lcpeakDb: 42, shortDb: 15 };

function keyOf({
  step = {},
  settings = {},
  limits = {},
  softness = {},
  voiceOffsetDb = 0,
  memory = {},
}: {
  readonly step?: Partial<Step>;
  readonly settings?: Partial<StepSettings>;
  readonly limits?: Partial<typeof LIMITS>;
  readonly softness?: Partial<typeof smallConstants.softness>;
  readonly voiceOffsetDb?: number;
  readonly memory?: Partial<SoundMemory>;
}): string {
  const levelled = new LevelledSounds(
    smallSource,
    { ...LIMITS, ...limits },
    { ...smallConstants.softness, ...softness },
    voiceOffsetDb,
  );
  const study = {
    ...smallInputs().study,
    memory: { ...ofSmall(heldMemory().memory), ...memory },
  };
  return stepKey(
    { ...STEP, ...step },
    { study, levelled, constants: smallConstants, bitrateKbps: 64, ...settings },
  );
}

const clip = (sha256: string) => ({ sound: soundOf(new Float64Array(9)), sha256 });
const withCues = (cues: ReadonlyMap<string, ReturnType<typeof clip>>) => ({
  settings: { study: { ...smallInputs().study, memory: ofSmall(heldMemory().memory), cues } },
});

describe('the key of a step', () => {
  const sounds = STEP.sounds;
  test.each<[what: string, change: Parameters<typeof keyOf>[0]]>([
    ['its level', { step: { levelDb: -3 } }],
    ['its onset', { step: { onsetSeconds: 0.5 } }],
    ['its cues', { step: { announced: false } }],
    ['the order', { step: { order: 'protocol' } }],
    [
      'how long a sound is',
      { step: { sounds: [{ ...sounds[0]!, durationSeconds: 5 }, sounds[1]!] } },
    ],
    ['how soft a sound is', { step: { sounds: [{ ...sounds[0]!, softness: 1 }, sounds[1]!] } }],
    ['which sounds there are', { step: { sounds: [sounds[0]!] } }],
    ['what comes first', { step: { sounds: [sounds[1]!, sounds[0]!] } }],
    [
      'the table',
      { step: { interludes: [{ kind: 'table-motion', durationSeconds: 5, before: 0 }] } },
    ],
    ['a limit of level', { limits: { laeqDb: 4 } }],
    ['a limit of FAST level', { limits: { lafmaxDb: 10 } }],
    ['a limit of short level', { limits: { shortDb: 14 } }],
    ['a limit of peak', { limits: { lcpeakDb: 41 } }],
    ['what is left of soft sounds', { softness: { lowPassHertz: 501 } }],
    ['the level of the short voice', { voiceOffsetDb: -5 }],
    ['the bit rate', { settings: { bitrateKbps: 48 } }],
    [
      'the timetable',
      {
        settings: {
          constants: {
            ...smallConstants,
            layout: { ...smallConstants.layout, pauseSeconds: 9 },
          },
        },
      },
    ],
    [
      'the level between scans',
      { settings: { constants: { ...smallConstants, interludeOffsetDb: -11 } } },
    ],
    ['a scan that is heard', { memory: { ofScan: scan => `other ${scan}` } }],
    ['the scanner', { memory: { ofScanner: 'another' } }],
    ['a recorded cue', withCues(new Map([['hum', clip('1')]]))],
    ['the closing cue', withCues(new Map([['end', clip('2')]]))],
  ])('changes with %s', (_what, change) => {
    expect(keyOf(change)).not.toBe(keyOf({}));
  });

  test('changes with the words of a recorded cue', () => {
    const keys = ['1', '2'].map(sha256 => keyOf(withCues(new Map([['hum', clip(sha256)]]))));
    expect(keys[0]).not.toBe(keys[1]);
  });

  test.each<[what: string, change: Parameters<typeof keyOf>[0]]>([
    ['its number', { step: { number: 7 } }],
    ['what it changes', { step: { change: 'start' } }],
    ['what the child does', { step: { posture: 'lying-still' } }],
    [
      'a scan that is not heard',
      { memory: { ofScan: scan => (scan === 'thump' ? 'other' : `sound of ${scan}`) } },
    ],
  ])('stays with another %s', (_what, change) => {
    expect(keyOf(change)).toBe(keyOf({}));
  });
});

const study = ({
  seed = 's1',
  protection = 'plugs-and-muffs',
  tesla = 3,
  first = 'RepetitionTime: 0.5',
  second = 'RepetitionTime: 2',
  name = 'one',
  plainName = 'Plain',
  response,
}: {
  readonly seed?: string;
  readonly protection?: string;
  readonly tesla?: number;
  readonly first?: string;
  readonly second?: string;
  readonly name?: string;
  readonly plainName?: string;
  readonly response?: LoadedStudy['response'];
} = {}): SoundMemory => {
  const text = `softknock: 1
study: { name: Test study, seed: ${seed}, contact: { email: test@example.org } }
scanner: { MagneticFieldStrength: ${tesla}, protection: ${protection} }
scans:
  - { name: ${name}, plainName: ${plainName}, type: gradient-echo-2d, ${first} }
  - { name: two, type: echo-planar, ${second} }
`;
  const loaded = prepareStudy(readStudyFile(text, 'study.yaml'), library, response);
  return kitStudyOf(loaded, heldMemory().memory).memory!;
};

describe("what a scan's sound follows from", () => {
  const plain = study().ofScan('one');
  const names = [...library.protections.keys()];
  const table = (top: number, relative = false) =>
    magnitudeResponse(
      'own',
      { hertz: [100, 1000], axes: { x: [1, top] }, relative },
      library.responses.values().next().value!,
    );
  const impulses = (tail: number) => {
    const axis = Float64Array.of(1, 0.5, tail);
    return impulseResponse('own.wav', { x: axis, y: axis, z: axis });
  };
  test.each<[what: string, other: string, than: string]>([
    ['a field of the scan', study({ first: 'RepetitionTime: 0.6' }).ofScan('one'), plain],
    ['the seed', study({ seed: 's2' }).ofScan('one'), plain],
    [
      'the protection',
      study({ protection: names.at(-1)! }).ofScan('one'),
      study({ protection: names[0]! }).ofScan('one'),
    ],
    ['the field strength', study({ tesla: 1.5 }).ofScan('one'), plain],
    [
      'a magnitude of the response',
      study({ response: table(2) }).ofScan('one'),
      study({ response: table(3) }).ofScan('one'),
    ],
    [
      'what a relative response is scaled to',
      study({ response: table(2, true) }).ofScan('one'),
      study({ response: table(2) }).ofScan('one'),
    ],
    [
      'a sample of an impulse response',
      study({ response: impulses(0.1) }).ofScan('one'),
      study({ response: impulses(0.2) }).ofScan('one'),
    ],
    ['which scan it is', study().ofScan('two'), plain],
  ])('is another text with another %s', (_what, other, than) => {
    expect(other).not.toBe(than);
  });

  test('is the same whatever the scan is called and whatever else is in the protocol', () => {
    expect(study({ plainName: 'Other' }).ofScan('one')).toBe(plain);
    expect(study({ name: 'renamed' }).ofScan('renamed')).toBe(plain);
    expect(study({ second: 'RepetitionTime: 2.5' }).ofScan('one')).toBe(plain);
  });
});
