/** A kit at other volumes and on other devices. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  busiestWeek,
  heardInSession,
  type HeardStep,
  withLongestCue,
} from '../../../src/kit/audio/heard-parts.js';
import { kitPlayback, type PlaybackInput } from '../../../src/kit/manifest/playback.js';
import { parseDeviceClasses } from '../../../src/kit/manifest/playback-classes.js';
import { minutesInWords, percentInWords } from '../../../src/kit/words/playback-words.js';
import { VOICE_DBA } from '../../../src/levels/limits.js';

const YAML = readFileSync(
  new URL('../../../sounds-synth/playback/devices.yaml', import.meta.url),
  'utf8',
);
const devices = parseDeviceClasses(YAML);

/** A step of one sound. */
const step = (number: number, offsetDb: number, seconds: number): HeardStep => ({
  number,
  voice: { startSeconds: 2, endSeconds: 3.7, offsetDb: 0 },
  sounds: [
    {
      scan: 'hum',
      plainName: 'The hum',
      startSeconds: 10,
      endSeconds: 10 + seconds,
      offsetDb,
      laeqDbfs: offsetDb - 25,
      lafmaxOffsetDb: offsetDb + 1,
      softness: 0,
    },
  ],
  interludes: [],
});

const layout = { cueSeconds: 0.8 };

const input = (changes: Partial<PlaybackInput> = {}): PlaybackInput => ({
  steps: [step(1, -18, 100), step(2, 5, 200)],
  sessions: [1, 2, 3, 4, 5, 6, 8, 9].map(day => ({ day, date: null, step: day < 4 ? 1 : 2 })),
  layout,
  listener: 'child',
  voiceDba: VOICE_DBA,
  devices,
  sounds: [],
  ...changes,
});

describe('the classes of device', () => {
  test('are those of a home, each with a source to every number', () => {
    expect(devices.map(({ name }) => name)).toEqual([
      'phone',
      'tablet',
      'laptop',
      'small-wireless',
      'hifi',
      'headphones-limited',
      'headphones',
    ]);
    expect(YAML.match(/value:/g)).toHaveLength(3 * devices.length);
    expect(YAML.match(/source:/g)).toHaveLength(3 * devices.length);
  });

  // EN 50332-1: programme noise of -10 dBFS gives the stated limit; its A-weighted level is 2.6 dB lower
  // (IEC 60268-1 programme spectrum), so full scale lies 12.6 dB above the limit.
  test('headphones that hold their limit of 85 dBA do so with programme noise at -10 dBFS', () => {
    const { fullVolume } = devices.find(({ name }) => name === 'headphones-limited')!;
    expect(Math.abs(fullVolume.typicalDba - 10 - 2.6 - 85)).toBeLessThan(0.5);
  });

  // Kim and Han 2018: maxima of six phones with earbuds 101.9 to 113.1 dBA with music.
  test('earbuds on a phone reach with music what was measured', () => {
    const { fullVolume } = devices.find(({ name }) => name === 'headphones')!;
    expect(fullVolume.typicalDba - 10).toBeGreaterThan(101.9);
    expect(fullVolume.typicalDba - 10).toBeLessThan(113.1);
    expect(fullVolume.worstDba - 10).toBeGreaterThan(113.1);
  });

  test.each([
    ['a worst case softer than the typical one', YAML.replace('value: 101', 'value: 70')],
    ['a number without a source', YAML.replace(/source: our own judgement/, "source: ''")],
    ['a name twice', YAML.replace('name: tablet', 'name: phone')],
    ['nothing', ''],
  ])('%s is refused', (_what, text) => {
    expect(() => parseDeviceClasses(text)).toThrow();
  });
});

describe('what is heard', () => {
  test('in a session is the voice reference, the step’s own voice, cues and sounds', () => {
    const heard = heardInSession(step(1, -18, 100), layout);
    expect(heard).toEqual([
      { offsetDb: 0, durationSeconds: 30 },
      { offsetDb: 0, durationSeconds: expect.closeTo(3, 9) as number },
      { offsetDb: -18, durationSeconds: 0.8 },
      { offsetDb: -18, durationSeconds: 0.8 },
      { offsetDb: -18, durationSeconds: 100 },
    ]);
    // No cue is louder than talk.
    const loud = heardInSession(step(2, 5, 200), layout);
    expect(loud.map(({ offsetDb }) => offsetDb)).toEqual([0, 0, 0, 0, 5]);
  });

  test('and what lies between the sounds of a whole visit', () => {
    const table = { kind: 'table-motion', startSeconds: 4, endSeconds: 9, offsetDb: -28 };
    const heard = heardInSession({ ...step(1, -18, 100), interludes: [table] }, layout);
    expect(heard).toContainEqual({ offsetDb: -28, durationSeconds: 5 });
  });

  test('of recorded cues counts each as the longest', () => {
    expect(withLongestCue(layout, [])).toEqual({ cueSeconds: 0.8 });
    const longest = withLongestCue(layout, [{ seconds: 1.2 }, { seconds: 3.5 }, { seconds: 2 }]);
    const heard = heardInSession(step(1, -18, 100), longest);
    expect(heard.filter(({ durationSeconds }) => durationSeconds === 3.5)).toHaveLength(2);
  });

  test('most is that of the seven days with most energy, not with most sessions', () => {
    const { steps } = input();
    const sessions = [1, 1, 2, 2, 3, 3, 20, 21].map(day => {
      return { day, date: null, step: day < 20 ? 1 : 2 };
    });
    const week = busiestWeek(steps, sessions, layout);
    expect(week.sessions).toBe(2);
    expect(week.heard.filter(({ offsetDb }) => offsetDb === 5)).toHaveLength(2);
  });
});

describe('a kit of 65 dBA', () => {
  const playback = kitPlayback(input());

  test('as set: level and dose as an interval, computed by hand', () => {
    // Days 3 to 9: five sessions of step 2 and one of step 1.
    expect(playback.week.sessions).toBe(6);
    const minutes = (5 * (30 + 3 + 1.6 + 200) + (30 + 3 + 1.6 + 100)) / 60;
    expect(playback.week.minutes).toBeCloseTo(minutes, 2);
    const { low, expected, high } = playback.asSet;
    expect([low.laeqDba, expected.laeqDba, high.laeqDba]).toEqual([57, 65, 73]);
    // In hours at 60 dBA, of the 40 h x 10^1.5 that a child may have.
    const soft = 33 + 101.6 * 10 ** -1.8;
    const hours = (5 * (34.6 + 200 * 10 ** 0.5) + soft) / 3600;
    expect(expected.weeklyDosePercent).toBeCloseTo((100 * hours) / (40 * 10 ** 1.5), 3);
    expect(high.weeklyDosePercent / low.weeklyDosePercent).toBeCloseTo(10 ** 1.6, 1);
    expect(high.passesWeeklyLimit).toBe(false);
  });

  test('10 and 20 dB too loud: ten and a hundred times the dose', () => {
    const { asSet, tenTooLoud, twentyTooLoud } = playback;
    expect(tenTooLoud.laeqDba).toBe(75);
    expect(tenTooLoud.minutesToWeeklyLimit).toBe(40 * 60);
    expect(twentyTooLoud.minutesToWeeklyLimit).toBe(4 * 60);
    expect(tenTooLoud.weeklyDosePercent / asSet.expected.weeklyDosePercent).toBeCloseTo(10, 1);
    expect(twentyTooLoud.weeklyDosePercent / asSet.expected.weeklyDosePercent).toBeCloseTo(100, 0);
  });

  test('all the way up: every class, typical and at worst; only there limits are passed', () => {
    expect(playback.allTheWayUp.map(({ device }) => device)).toEqual(
      devices.map(({ name }) => name),
    );
    for (const [i, { typical, worst }] of playback.allTheWayUp.entries()) {
      // The loudest sound is 20 dB below full scale.
      expect(typical.laeqDba).toBe(devices[i]!.fullVolume.typicalDba - 20);
      expect(worst.laeqDba).toBe(devices[i]!.fullVolume.worstDba - 20);
      for (const week of [typical, worst]) {
        expect(week.passesWeeklyLimit).toBe(week.weeklyDosePercent >= 100);
      }
    }
    const headphones = playback.allTheWayUp.at(-1)!;
    // 115 dBA: 40 h x 10^-4 = 14.4 s.
    expect(headphones.worst.minutesToWeeklyLimit).toBeCloseTo(14.4 / 60, 3);
    expect(headphones.worst.passesWeeklyLimit).toBe(true);
    expect(playback.allTheWayUp[0]!.typical.passesWeeklyLimit).toBe(false);
  });

  test('says all of it in sentences, with the same numbers', () => {
    const text = playback.words.join('\n');
    expect(text).toContain('about 65 dBA (57 to 73)');
    expect(text).toContain('10 dB too loud: about 75 dBA');
    expect(text).toContain('20 dB too loud: about 85 dBA');
    for (const { label } of devices) expect(text).toContain(`All the way up on ${label}: about`);
    expect(text).toContain('PAST THE LIMIT, which 14 seconds of the loudest sound use up');
    expect(text).not.toMatch(/NaN|Infinity|undefined/);
  });
});

describe('sounds on loudspeakers without bass', () => {
  const spectrum = (toneHz: number, below: (hertz: number) => number) => {
    return { toneHz, belowPercent: below };
  };
  const playback = kitPlayback(
    input({
      sounds: [
        {
          scan: 'deep',
          plainName: 'Deep',
          spectrum: spectrum(250, hertz => (hertz > 250 ? 80 : 0)),
        },
        {
          scan: 'high',
          plainName: 'High',
          spectrum: spectrum(1000, hertz => (hertz > 350 ? 4.44 : 1)),
        },
        { scan: 'nothing', plainName: 'Nothing', spectrum: undefined },
      ],
    }),
  );

  test('are named with the share that is gone, and the devices on which they lose their mark', () => {
    expect(playback.losses.map(({ scan }) => scan)).toEqual(['deep', 'high']);
    const [deep, high] = playback.losses;
    expect(deep!.unrecognisableOn).toEqual(['phone', 'tablet', 'laptop']);
    expect(deep!.belowLowEndPercent).toMatchObject({ phone: 80, tablet: 80, hifi: 0 });
    expect(high!.unrecognisableOn).toEqual([]);
    expect(high!.belowLowEndPercent['phone']).toBe(4.4);
  });

  test('stand in the sentences', () => {
    expect(playback.words.join('\n')).toContain(
      'Below 400 Hz nothing comes from the loudspeaker of a phone: what makes them recognisable is lost of deep (its tone lies at 250 Hz, 80 % of its energy is gone)',
    );
    const fine = kitPlayback(
      input({ sounds: [{ scan: 'high', plainName: 'High', spectrum: spectrum(900, () => 0) }] }),
    );
    expect(fine.words.at(-1)).toBe('Every sound keeps what makes it recognisable on all of these.');
  });
});

test.each([
  [0.004, '< 0.01 %'],
  [0.4244, '0.42 %'],
  [9.13, '9.1 %'],
  [58.3, '58 %'],
  [12_345, '12000 %'],
])('%d %% is "%s"', (percent, words) => {
  expect(percentInWords(percent)).toBe(words);
});

test.each([
  [0.24, '14 seconds'],
  [7.59, '8 minutes'],
  [240, '4 hours'],
  [24_000, 'more than a week'],
])('%d minutes are "%s"', (minutes, words) => {
  expect(minutesInWords(minutes)).toBe(words);
});
