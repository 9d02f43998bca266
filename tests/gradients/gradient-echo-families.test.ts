/**
 * Families of gradient echoes: limits, echo times, balance, trajectories, trains.
 *
 * That an echo forms where the area under the read gradient since the pulse is zero, and the widths of
 * k-space, are textbook physics; protocols are public ones or ours.
 */
import { describe, expect, test } from 'vitest';
import { encodingArea } from '../../src/gradients/physics.js';
import {
  AXES,
  type Segment,
  timelineDurationSeconds,
  type Waveform,
} from '../../src/gradients/timeline.js';
import type { LoadedScan } from '../../src/io/load-study.js';
import {
  amplitudeAt,
  areaBetween,
  expectWithinLimits,
  extremesOf,
  playedAxes,
} from '../helpers/played-waveform.js';
import { refusal } from '../helpers/refusal.js';
import { studyOf } from '../helpers/study.js';

/** Sums of thousands of slopes leave this much of a limit. */
const ROUNDING = 1e-6;

const VARIANTS: Readonly<Record<string, readonly [type: string, fields: Record<string, unknown>]>> =
  {
    'slices in turn': ['gradient-echo-2d', { Duration: 20 }],
    'slices in passes': [
      'gradient-echo-2d',
      { RepetitionTime: 0.12, NumberOfSlices: 31, Duration: 30 },
    ],
    'slices one after another': [
      'gradient-echo-2d',
      { RepetitionTime: 0.009, EchoTime: 0.004, Duration: 20 },
    ],
    'two echoes of a field map': ['field-map-gradient-echo', {}],
    'susceptibility, two echoes': [
      'gradient-echo-3d',
      { RepetitionTime: 0.027, EchoTimes: [0.0094, 0.02], AcquisitionVoxelSize: [0.8, 0.8, 3] },
    ],
    'a scout in a hurry': [
      'gradient-echo-3d',
      {
        RepetitionTime: 0.00315,
        EchoTime: 0.00137,
        AcquisitionVoxelSize: [1.6, 1.6, 1.6],
        NumberOfSlices: 128,
        AcquisitionMatrixPE: 128,
      },
    ],
    balanced: ['balanced-steady-state', {}],
    'balanced in 3D': [
      'balanced-steady-state',
      {
        MRAcquisitionType: '3D',
        RepetitionTime: 0.005,
        AcquisitionVoxelSize: [0.9, 0.9, 0.9],
        NumberOfSlices: 64,
      },
    ],
    'two inversion times': [
      'inversion-gradient-echo-3d',
      { RepetitionTime: 5, InversionTime: 0.82, InversionTime2: 2.5, Duration: 60 },
    ],
    'four echoes and a navigator': [
      'inversion-gradient-echo-3d',
      {
        RepetitionTime: 2.5,
        InversionTime: 1,
        EchoTimes: [0.00181, 0.0036, 0.00539, 0.00718],
        PixelBandwidth: 744,
        AcquisitionVoxelSize: [0.8, 0.8, 0.8],
        EchoTrainLength: 104,
        Navigator: true,
        Duration: 60,
      },
    ],
    spiral: ['spiral', {}],
    'a spiral per slice': [
      'spiral',
      {
        RepetitionTime: 2,
        NumberOfSlices: 30,
        AcquisitionVoxelSize: [3.4, 3.4, 4],
        BaseResolution: 64,
      },
    ],
    radial: ['radial-gradient-echo', {}],
    'zero echo time': ['zero-echo-time', {}],
  };

const played = new Map<string, LoadedScan>();
function play(name: string): LoadedScan {
  let loaded = played.get(name);
  if (loaded === undefined) {
    const [type, fields] = VARIANTS[name]!;
    played.set(name, (loaded = studyOf(type, fields).scans[0]!));
  }
  return loaded;
}

/** An early and the last segment of a scan. */
function someSegments({ played: { timeline } }: LoadedScan): readonly Segment[] {
  const { segments } = timeline;
  return [Math.floor(segments.length / 3), segments.length - 1].map(i => segments[i]!);
}

describe.each(Object.keys(VARIANTS))('%s', name => {
  test("keeps amplitude and slew rate within the scanner's, all layers together", () => {
    expectWithinLimits(someSegments(play(name)), { amplitude: 80, slewRate: 200 });
  });

  test('stays within its segments, and is zero at their borders or goes on across them', () => {
    const { segments } = play(name).played.timeline;
    const borders = segments.slice(0, 2).map(segment => {
      const waveforms = playedAxes(segment);
      for (const { timesSeconds } of waveforms) {
        if (timesSeconds.length === 0) continue;
        expect(timesSeconds[0]!).toBeGreaterThanOrEqual(-1e-9);
        expect(timesSeconds.at(-1)!).toBeLessThanOrEqual(segment.durationSeconds + 1e-9);
      }
      return {
        first: waveforms.map(waveform => amplitudeAt(waveform, 0)),
        last: waveforms.map(({ amplitudes }) => amplitudes.at(-1) ?? 0),
      };
    });
    for (const [i, { last }] of borders.entries()) {
      const next = borders[i + 1]?.first ?? last;
      AXES.forEach((_, axis) => {
        expect(Math.abs(next[axis]! - last[axis]!)).toBeLessThan(ROUNDING);
      });
    }
  });

  test('lasts as long as its Duration says, to a repetition of its lines', () => {
    const { scan, played } = play(name);
    const stated = scan.fields.Duration!.value as number;
    const repetition = scan.fields.RepetitionTime!.value as number;
    const tolerance = Math.max(repetition, 1.8) + ROUNDING;
    expect(Math.abs(timelineDurationSeconds(played.timeline) - stated)).toBeLessThan(tolerance);
  });
});

/** Read is x, phase y, slice z. */
const AXIAL = { SliceOrientation: 'axial', PhaseEncodingDirection: 'j' };

/** The first segment of a scan, axis by axis. */
function firstSegment(type: string, fields: Record<string, unknown>) {
  const { scan, played } = studyOf(type, { ...AXIAL, ...fields }).scans[0]!;
  const [x, y, z] = playedAxes(played.timeline.segments[0]!);
  return { scan, played, x: x!, y: y!, z: z! };
}

/** Middle of the pulse whose slice selection is the first lobe of a waveform: its middle. */
function firstPulseSeconds({ timesSeconds, amplitudes }: Waveform): number {
  const end = amplitudes.findIndex((amplitude, i) => i > 1 && Math.abs(amplitude) < 1e-9);
  return (timesSeconds[0]! + timesSeconds[end]!) / 2;
}

describe('echoes form at their echo times: the read gradient has no area between pulse and echo', () => {
  test.each([
    ['gradient-echo-2d', { EchoTime: 0.006 }, [0.006]],
    [
      'gradient-echo-2d',
      { EchoTimes: [0.004, 0.009, 0.014], PixelBandwidth: 400 },
      [0.004, 0.009, 0.014],
    ],
    ['gradient-echo-3d', { RepetitionTime: 0.027, EchoTimes: [0.0094, 0.02] }, [0.0094, 0.02]],
    ['field-map-gradient-echo', { PixelBandwidth: 700 }, [0.00492, 0.00738]],
    ['balanced-steady-state', { RepetitionTime: 0.0044 }, [0.0022]],
    [
      'balanced-steady-state',
      { RepetitionTime: 0.006, EchoTime: 0.0025, PixelBandwidth: 600 },
      [0.0025],
    ],
    ['radial-gradient-echo', { EchoTime: 0.003 }, [0.003]],
  ])('%s %j', (type, fields, echoTimesSeconds) => {
    const { scan, x, z } = firstSegment(type, fields);
    const pulseSeconds = firstPulseSeconds(z);
    const bandwidthHz = scan.fields.PixelBandwidth!.value as number;
    const [readVoxelMm] = scan.fields.AcquisitionVoxelSize!.value as number[];
    const width = encodingArea(readVoxelMm!);
    for (const echoTimeSeconds of echoTimesSeconds) {
      const echoSeconds = pulseSeconds + echoTimeSeconds;
      expect(Math.abs(areaBetween(x, pulseSeconds, echoSeconds)) / width).toBeLessThan(ROUNDING);
      // One pixel's bandwidth crosses the width of k-space in its inverse.
      expect(Math.abs(amplitudeAt(x, echoSeconds)) / (width * bandwidthHz)).toBeCloseTo(1, 6);
    }
  });
});

test('a field map in 3D repeats its excitation at the repetition time, with both echoes and a step of the partition encoding', () => {
  const { played, x, z } = firstSegment('field-map-gradient-echo', {
    RepetitionTime: 0.0115,
    EchoTime1: 0.00246,
    EchoTime2: 0.00492,
    NumberOfSlices: 48,
    AcquisitionMatrixPE: 64,
    AcquisitionVoxelSize: [3, 3, 3],
    PixelBandwidth: 1000,
  });
  // 64 lines of 48 partitions.
  expect(timelineDurationSeconds(played.timeline)).toBeCloseTo(64 * 48 * 0.0115, 6);
  expect(played.rhythm[0]!.hertz).toBeCloseTo(1 / 0.0115, 9);
  expect(played.rhythm[1]!.hertz).toBeCloseTo(1 / (48 * 0.0115), 9);
  const pulseSeconds = firstPulseSeconds(z);
  const width = encodingArea(3);
  for (const echoSeconds of [0.00246, 0.00492]) {
    expect(Math.abs(areaBetween(x, pulseSeconds, pulseSeconds + echoSeconds)) / width).toBeLessThan(
      ROUNDING,
    );
  }
  // Partitions run from one end of k-space to the other: their areas at the echo differ by its width.
  const encodings = [0, 47].map(i =>
    areaBetween(z, pulseSeconds + i * 0.0115, pulseSeconds + i * 0.0115 + 0.00246),
  );
  expect(Math.abs(encodings[1]! - encodings[0]!) / width).toBeCloseTo(1, 6);
});

describe('balanced steady state', () => {
  test.each([
    ['2D', { MRAcquisitionType: '2D' }],
    [
      '3D',
      {
        MRAcquisitionType: '3D',
        NumberOfSlices: 32,
        AcquisitionVoxelSize: [1, 1, 1.5],
        RepetitionTime: 0.005,
      },
    ],
  ])('in %s undoes every gradient from pulse to pulse', (_, fields) => {
    const { scan, x, y, z } = firstSegment('balanced-steady-state', fields);
    const repetitionSeconds = scan.fields.RepetitionTime!.value as number;
    const pulseSeconds = firstPulseSeconds(z);
    for (const waveform of [x, y, z]) {
      const strength = extremesOf(waveform).amplitude * repetitionSeconds;
      expect(strength).toBeGreaterThan(0.01);
      for (const repetition of [0, 1, 7]) {
        const fromSeconds = pulseSeconds + repetition * repetitionSeconds;
        const area = areaBetween(waveform, fromSeconds, fromSeconds + repetitionSeconds);
        expect(Math.abs(area) / strength).toBeLessThan(ROUNDING);
      }
    }
  });
});

describe('slices', () => {
  const excitations = (fields: Record<string, unknown>): number => {
    const { scan, played } = studyOf('gradient-echo-2d', fields).scans[0]!;
    return played.rhythm[0]!.hertz * (scan.fields.RepetitionTime!.value as number);
  };

  test('share a repetition time where they fit', () => {
    expect(excitations({ RepetitionTime: 0.5, NumberOfSlices: 25 })).toBeCloseTo(25, 9);
  });

  test('are played in as few passes as they fit into', () => {
    expect(excitations({ RepetitionTime: 0.2, NumberOfSlices: 31 })).toBeCloseTo(16, 9);
  });

  test('follow one another where only one fits', () => {
    expect(excitations({ RepetitionTime: 0.009, EchoTime: 0.004 })).toBeCloseTo(1, 9);
  });
});

/** Stretches in which a waveform plays, apart by at least 50 ms. */
function stretches({
  timesSeconds,
}: Waveform): readonly { fromSeconds: number; toSeconds: number }[] {
  const found: { fromSeconds: number; toSeconds: number }[] = [];
  for (const timeSeconds of timesSeconds) {
    const last = found.at(-1);
    if (last === undefined || timeSeconds - last.toSeconds > 0.05)
      found.push({ fromSeconds: timeSeconds, toSeconds: timeSeconds });
    else last.toSeconds = timeSeconds;
  }
  return found;
}

describe('inversion-prepared trains', () => {
  /** The pulse is 10 ms long, at the start of the repetition. */
  const INVERSION_SECONDS = 0.005;

  test('two inversion times have two trains, each centred on its own', () => {
    const innerSeconds = 0.0068;
    const { x } = firstSegment('inversion-gradient-echo-3d', {
      RepetitionTime: 5,
      InversionTime: 0.82,
      InversionTime2: 2.5,
      RepetitionTimeExcitation: innerSeconds,
      PixelBandwidth: 260,
      NumberOfSlices: 176,
    });
    const trains = stretches(x);
    expect(trains).toHaveLength(2);
    trains.forEach(({ fromSeconds, toSeconds }, i) => {
      expect(
        Math.abs((fromSeconds + toSeconds) / 2 - INVERSION_SECONDS - [0.82, 2.5][i]!),
      ).toBeLessThan(innerSeconds);
      expect(Math.abs(toSeconds - fromSeconds - 176 * innerSeconds)).toBeLessThan(innerSeconds);
    });
  });

  test('a navigator of 275 to 355 ms (Tisdall and others 2012, from memory) lies in the longest pause', () => {
    const { x, played } = firstSegment('inversion-gradient-echo-3d', {
      RepetitionTime: 2.5,
      InversionTime: 1.06,
      NumberOfSlices: 176,
      RepetitionTimeExcitation: 0.0072,
      PixelBandwidth: 250,
      Navigator: true,
    });
    const [train, navigator, ...more] = stretches(x);
    expect(more).toEqual([]);
    const lengthSeconds = navigator!.toSeconds - navigator!.fromSeconds;
    expect(lengthSeconds).toBeGreaterThan(0.275);
    expect(lengthSeconds).toBeLessThan(0.355);
    const middleSeconds = (navigator!.fromSeconds + navigator!.toSeconds) / 2;
    expect(Math.abs(middleSeconds - (train!.toSeconds + 2.5) / 2)).toBeLessThan(0.01);
    expect(played.tones[1]!.cause).toContain('navigator');
  });
});

describe('spokes and spirals turn', () => {
  test('a spoke by half a turn over the spokes of an image', () => {
    const { scan, x, y } = firstSegment('radial-gradient-echo', { NumberShots: 60 });
    const repetitionSeconds = scan.fields.RepetitionTime!.value as number;
    const echoSeconds = 0.0003 + 0.5 * repetitionSeconds;
    const angles = [0, 1, 20].map(i =>
      Math.atan2(
        amplitudeAt(y, echoSeconds + i * repetitionSeconds),
        amplitudeAt(x, echoSeconds + i * repetitionSeconds),
      ),
    );
    expect(angles[0]).toBeCloseTo(0, 6);
    expect(angles[1]).toBeCloseTo(Math.PI / 60, 6);
    expect(angles[2]).toBeCloseTo(Math.PI / 3, 6);
  });

  test('an interleaf by its part of a whole turn', () => {
    const { scan, x, y } = firstSegment('spiral', { NumberShots: 13 });
    const repetitionSeconds = scan.fields.RepetitionTime!.value as number;
    const angle = (2 * Math.PI) / 13;
    for (const timeSeconds of [0.0025, 0.003, 0.0035]) {
      const [gx, gy] = [amplitudeAt(x, timeSeconds), amplitudeAt(y, timeSeconds)];
      const turned = amplitudeAt(x, timeSeconds + 3 * repetitionSeconds);
      expect(Math.hypot(gx, gy)).toBeGreaterThan(1);
      expect(turned).toBeCloseTo(Math.cos(3 * angle) * gx - Math.sin(3 * angle) * gy, 4);
    }
  });
});

describe('zero echo time', () => {
  const { scan, played } = play('zero echo time');
  const { segments } = played.timeline;
  const spokeSeconds = scan.fields.RepetitionTime!.value as number;

  test('the gradient keeps its strength at every spoke and never returns to zero', () => {
    // 600 Hz per pixel of 1 mm: 14.1 mT/m, as 1 / (gammaBar x 1 mm) x 600 Hz.
    const strength = 14.092;
    for (const segment of someSegments(play('zero echo time'))) {
      const [x, y, z] = playedAxes(segment);
      for (
        let timeSeconds = 0.0003;
        timeSeconds < segment.durationSeconds;
        timeSeconds += 13 * spokeSeconds
      ) {
        const length = Math.hypot(...[x!, y!, z!].map(axis => amplitudeAt(axis, timeSeconds)));
        expect(Math.abs(length / strength - 1)).toBeLessThan(0.01);
      }
    }
  });

  test('it turns by steps of 0.1 to 1 mT/m (common practice, no source)', () => {
    const middle = playedAxes(segments[Math.floor(segments.length / 2)]!);
    const at = (timeSeconds: number): number[] =>
      middle.map(axis => amplitudeAt(axis, timeSeconds));
    for (let i = 0; i < 100; i++) {
      const [a, b] = [at((i + 0.3) * spokeSeconds), at((i + 1.3) * spokeSeconds)];
      const step = Math.hypot(...a.map((value, axis) => value - b[axis]!));
      expect(step).toBeGreaterThan(0.1);
      expect(step).toBeLessThan(1);
    }
  });

  test('its spokes spread evenly over the sphere: each axis has a third of the mean square', () => {
    const shares = [0, 0, 0];
    for (let i = 0; i < 40; i++) {
      const segment = segments[Math.floor(((i + 0.5) * segments.length) / 40)]!;
      playedAxes(segment).forEach((axis, k) => {
        for (let j = 0; j < 20; j++) {
          shares[k]! += amplitudeAt(axis, ((j + 0.3) * segment.durationSeconds) / 20) ** 2;
        }
      });
    }
    const sum = shares.reduce((a, b) => a + b);
    for (const share of shares) expect(share / sum).toBeCloseTo(1 / 3, 2);
  });
});

describe('what does not fit is refused with its field and numbers', () => {
  test.each<
    [what: string, type: string, fields: Record<string, unknown>, field: string, words: RegExp]
  >([
    [
      'echoes nearer than a readout lasts',
      'gradient-echo-3d',
      { EchoTimes: [0.005, 0.006], PixelBandwidth: 300 },
      'EchoTimes',
      /echo distance 1 ms .* at least 3\.\d+ ms/,
    ],
    [
      'echoes out of order',
      'gradient-echo-3d',
      { EchoTimes: [0.02, 0.0094] },
      'EchoTimes',
      /each larger than the one before/,
    ],
    [
      'an echo before the encoding is over',
      'gradient-echo-2d',
      { EchoTime: 0.0005, PixelBandwidth: 500 },
      'EchoTime',
      /echo time 0\.5 ms has no room .* at least [12]\.\d+ ms/,
    ],
    [
      'a balanced excitation in too short a time',
      'balanced-steady-state',
      { RepetitionTime: 0.002, PixelBandwidth: 700 },
      'RepetitionTime',
      /repetition time of 2 ms .* no room/,
    ],
    [
      'a second train that would start during the first',
      'inversion-gradient-echo-3d',
      { InversionTime: 0.8, InversionTime2: 1.5, NumberOfSlices: 176 },
      'InversionTime2',
      /InversionTime2 of at least 2\.\d+ s/,
    ],
    [
      'a navigator without a pause',
      'inversion-gradient-echo-3d',
      { RepetitionTime: 1.6, InversionTime: 0.8, NumberOfSlices: 176, Navigator: true },
      'Navigator',
      /no pause is longer than \d+\.?\d* ms.* at least 310\.5 ms/,
    ],
    [
      'a spiral that is longer than its repetition',
      'spiral',
      { RepetitionTime: 0.006, NumberShots: 2 },
      'RepetitionTime',
      /does not fit into 6 ms.*more interleaves/,
    ],
    [
      'a gradient that is too strong to stay on',
      'zero-echo-time',
      { PixelBandwidth: 900, AcquisitionVoxelSize: [0.7, 0.7, 0.7] },
      'PixelBandwidth',
      // 900 Hz / (42.577 MHz/T x 0.7 mm).
      /30\.2 mT\/m all the time/,
    ],
    [
      'a spoke that fills its repetition',
      'zero-echo-time',
      { RepetitionTime: 0.0008 },
      'RepetitionTime',
      /no time in 0\.8 ms to turn/,
    ],
  ])('%s', (_, type, fields, field, words) => {
    const { problems } = refusal(() => studyOf(type, { ...AXIAL, ...fields }));
    expect(problems).toHaveLength(1);
    const [{ where, found, allowed, fix }] = problems as [(typeof problems)[0]];
    expect(where).toMatch(new RegExp(`^study\\.yaml:\\d+ scans\\[0\\]\\.${field}$`));
    expect(`${found} ${allowed} ${fix}`).toMatch(words);
  });
});
