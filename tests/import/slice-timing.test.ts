/** Slices and multiband factor from the times of the slices. */
import { describe, expect, test } from 'vitest';
import { Sidecar } from '../../src/import/sidecar.js';
import { readSlices } from '../../src/import/slice-timing.js';
import { describeWithOpenData, openSidecars, sidecarFacts } from '../helpers/open-data.js';

const read = (json: Record<string, unknown>) => readSlices(new Sidecar(json));

describeWithOpenData('open sidecars', () => {
  const sidecars = new Map(openSidecars().map(({ path, json }) => [path, json]));
  const facts = sidecarFacts().filter(({ MB_from_ST }) => MB_from_ST !== null);

  test('there are 20 with slice times', () => {
    expect(facts).toHaveLength(20);
  });

  test.each(facts)(
    '$file gives the factor that an independent reader counts',
    ({ file, MB_from_ST }) => {
      const json = sidecars.get(file)!;
      const counted = { ...json, MultibandAccelerationFactor: undefined };
      expect(read(counted).multiband!.value).toBe(MB_from_ST);
      expect(read(json).slices!.value).toBe((json['SliceTiming'] as number[]).length);
    },
  );

  test.each(facts.filter(({ MB }) => MB !== null))(
    '$file states the factor that it shows',
    ({ file, MB }) => {
      const { multiband, notes } = read(sidecars.get(file)!);
      expect([multiband!.value, multiband!.origin]).toEqual([MB, 'given']);
      expect(notes).toEqual([]);
    },
  );
});

describe('traps', () => {
  test('times before midnight of a clock wrap by a day; they are put back', () => {
    // 86397 s is seen in one raw header.
    const json = { RepetitionTime: 3, SliceTiming: [86399.5, 0, 0.5, 86399.5, 0, 0.5] };
    expect(read(json).multiband!.value).toBe(2);
  });

  test('times that reach beyond the repetition time count slices, not the factor', () => {
    const { slices, multiband, notes } = read({
      RepetitionTime: 2,
      SliceTiming: [0, 1500, 0, 1500],
    });
    expect([slices!.value, multiband]).toEqual([4, undefined]);
    expect(notes.join()).toMatch(/beyond RepetitionTime 2 s/);
  });

  test('times that repeat by rounding give no factor', () => {
    // As in gradient-echo field maps: 36 slices with 26 distinct times, 1.38 of each.
    const times = Array.from({ length: 36 }, (_, i) => (i < 26 ? i : i - 26) * 0.02);
    const { multiband, notes } = read({ RepetitionTime: 0.7, SliceTiming: times });
    expect(multiband).toBeUndefined();
    expect(notes.join()).toMatch(/26 times for 36 slices/);
  });

  test('a stated factor that the times contradict gives way to the count, with a note', () => {
    const json = {
      RepetitionTime: 1,
      SliceTiming: [0, 0.5, 0, 0.5],
      MultibandAccelerationFactor: 4,
    };
    const { multiband, notes } = read(json);
    expect(multiband!.value).toBe(2);
    expect(notes).toHaveLength(1);
  });

  test('the last time may reach the repetition time and no further', () => {
    const times = (last: number) => [0, 0, 0.5, 0.5, last, last];
    expect(read({ RepetitionTime: 1, SliceTiming: times(1) }).multiband!.value).toBe(2);
    const { multiband, notes } = read({ RepetitionTime: 1, SliceTiming: [0, 0.5, 0.7, 1.1] });
    expect(multiband).toBeUndefined();
    expect(notes.join()).toMatch(/it reaches 1\.1 s, beyond RepetitionTime 1 s/);
  });

  test.each([
    [1, 1],
    [16, 16],
    [1.38, undefined],
    [0, undefined],
    [17, undefined],
    ['six', undefined],
  ])('a stated factor of %j counts as %j', (stated, factor) => {
    expect(read({ MultibandAccelerationFactor: stated }).multiband?.value).toBe(factor);
  });

  test('acceleration along the slices is a multiband factor only of a multiband technique', () => {
    const factor = (technique: string) =>
      read({ ParallelReductionFactorOutOfPlane: 3, ParallelAcquisitionTechnique: technique });
    expect(factor('MBSENSE').multiband).toMatchObject({ value: 3, origin: 'derived' });
    expect(factor('SMS').multiband).toMatchObject({ value: 3, origin: 'derived' });
    expect(factor('SENSE').multiband).toBeUndefined();
  });

  test('more than 16 slices at once are not believed', () => {
    const times = Array.from({ length: 34 }, (_, i) => (i % 2) * 0.5);
    const { slices, multiband } = read({ RepetitionTime: 1, SliceTiming: times });
    expect([slices!.value, multiband]).toEqual([34, undefined]);
  });

  test('two slices are enough to count', () => {
    expect(read({ RepetitionTime: 1, SliceTiming: [0, 0.5] }).multiband!.value).toBe(1);
  });

  test.each([[[]], [[0]], [['a', 'b']], ['0'], [null], [[0, 0, 0]]])(
    'SliceTiming %j is no timing',
    times => {
      expect(read({ SliceTiming: times }).multiband).toBeUndefined();
    },
  );
});
