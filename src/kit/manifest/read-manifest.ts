/**
 * `kit.json` read back, checked to hold what it must.
 *
 * @module
 */
import type { Manifest } from './manifest.js';

/** What stands where: a type, a list of one kind of thing, or an object; `?` for "or null". */
type Shape =
  'text' | 'text?' | 'number' | 'number?' | readonly [Shape] | { readonly [key: string]: Shape };

const INTERVAL: Shape = { low: 'number', expected: 'number', high: 'number' };

const WEEK: Shape = {
  laeqDba: 'number',
  weeklyDosePercent: 'number',
  minutesToWeeklyLimit: 'number',
};

const SESSION: Shape = { day: 'number', date: 'text?', step: 'number' };

/** The parts that programs rely on. */
const SHAPE: Shape = {
  kit: 'text',
  version: 'number',
  study: 'text',
  protocolHash: 'text',
  seed: 'text',
  software: { name: 'text', version: 'text' },
  approval: 'text?',
  ageBand: 'text',
  preset: 'text',
  listener: 'text',
  ceiling: { laeqDba: 'number' },
  voiceReference: {
    file: 'text',
    sha256: 'text',
    durationSeconds: 'number',
    laeqDbfs: 'number',
    assumedDba: INTERVAL,
    // `measured` is null or an object: read where it is used.
  },
  cues: [{ scan: 'text', seconds: 'number', sha256: 'text' }],
  pictures: [{ scan: 'text', shape: ['number'], spectrum: ['number'] }],
  steps: [
    {
      number: 'number',
      file: 'text',
      sha256: 'text',
      change: 'text',
      plannedOffsetDb: 'number',
      durationSeconds: 'number',
      onsetSeconds: 'number',
      voice: { startSeconds: 'number', endSeconds: 'number', offsetDb: 'number' },
      sounds: [
        {
          scan: 'text',
          plainName: 'text',
          startSeconds: 'number',
          endSeconds: 'number',
          offsetDb: 'number',
          laeqDbfs: 'number',
          lafmaxOffsetDb: 'number',
          softness: 'number',
        },
      ],
      interludes: [
        { kind: 'text', startSeconds: 'number', endSeconds: 'number', offsetDb: 'number' },
      ],
      estimatedLaeqDba: INTERVAL,
      weeklyDosePercent: { intended: 'number', tenTooLoud: 'number', twentyTooLoud: 'number' },
    },
  ],
  discs: [
    {
      file: 'text',
      sha256: 'text',
      cueSheet: 'text',
      frames: 'number',
      tracks: [{ step: 'number?', startFrame: 'number', frames: 'number' }],
    },
  ],
  coding: { bitrateKbps: 'number', lostAboveHertz: 'number?', limitBytes: 'number?' },
  sessions: [SESSION],
  playback: {
    asSet: { low: WEEK, expected: WEEK, high: WEEK },
    tenTooLoud: WEEK,
    twentyTooLoud: WEEK,
    allTheWayUp: [{ device: 'text', label: 'text', typical: WEEK, worst: WEEK }],
    losses: [{ scan: 'text', toneHertz: 'number', unrecognisableOn: ['text'] }],
    words: ['text'],
  },
  plan: { days: 'number', startDate: 'text?', scanDate: 'text?', droppedSteps: 'number' },
  documents: {
    language: 'text',
    textsHash: 'text',
    protocol: [{ name: 'text', plainName: 'text', durationSeconds: 'number' }],
    guideNote: 'text?',
  },
  history: [
    {
      version: 'number',
      asOf: 'text?',
      action: 'text?',
      nextStep: 'number?',
      log: [{ date: 'text', time: 'text?', step: 'number', signs: ['text'] }],
      redRows: 'number',
      startDate: 'text?',
      scanDate: 'text?',
      days: 'number',
      sessions: [SESSION],
    },
  ],
  notes: ['text'],
};

/**
 * A manifest from its text.
 *
 * @throws {RangeError} It is not JSON, or not a manifest; the message names the place.
 */
export function readManifest(text: string): Manifest {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new RangeError('it is not JSON');
  }
  check(value, SHAPE, '');
  return value as Manifest;
}

function check(value: unknown, shape: Shape, place: string): void {
  if (typeof shape === 'string') {
    if (shape.endsWith('?') && value === null) return;
    if (shape.startsWith('number') ? isNumber(value) : typeof value === 'string') return;
    throw new RangeError(`${place} must be a ${shape.replace('?', ' or null')}`);
  }
  if (Array.isArray(shape)) {
    if (!Array.isArray(value)) throw new RangeError(`${place} must be a list`);
    for (const [i, item] of (value as unknown[]).entries()) {
      check(item, (shape as readonly [Shape])[0], `${place}[${i}]`);
    }
    return;
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new RangeError(`${place === '' ? 'it' : place} must be an object`);
  }
  for (const [key, part] of Object.entries(shape)) {
    const inner = (value as Record<string, unknown>)[key];
    check(inner, part, place === '' ? key : `${place}.${key}`);
  }
}

const isNumber = (value: unknown): boolean => typeof value === 'number' && Number.isFinite(value);
