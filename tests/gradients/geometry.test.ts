/** Logical to physical axes. Direction cosines as in DICOM PS3.3 C.7.6.2.1.1 (x to the left, y to the back, z to the head). */
import { describe, expect, test } from 'vitest';
import { scanGeometry } from '../../src/gradients/geometry.js';
import { UnplayableError } from '../../src/gradients/hardware.js';
import { given } from '../../src/protocol/origin.js';
import type { Scan } from '../../src/protocol/scan.js';
import { collect } from '../../src/signal/sound.js';
import { studyOf } from '../helpers/study.js';

const scanWith = (fields: Readonly<Record<string, unknown>>): Scan => ({
  name: 'scan',
  plainName: 'scan',
  type: 'echo-planar',
  fields: Object.fromEntries(
    Object.entries(fields).map(([name, value]) => [name, given(value, 'test')]),
  ),
});

/** Physical axis on which a logical one lies, for planes without a tilt. */
function axesOf(fields: Readonly<Record<string, unknown>>): string {
  const geometry = scanGeometry(scanWith(fields));
  return (['read', 'phase', 'slice'] as const)
    .map(logical =>
      (['x', 'y', 'z'] as const).filter(axis => Math.abs(geometry[axis][logical]) > 0.9).join(),
    )
    .join('');
}

describe('planes', () => {
  test.each([
    [{ SliceOrientation: 'axial', PhaseEncodingDirection: 'j-' }, 'xyz'],
    [{ SliceOrientation: 'axial', PhaseEncodingDirection: 'i' }, 'yxz'],
    [{ SliceOrientation: 'sagittal', PhaseEncodingDirection: 'i' }, 'zyx'],
    [{ SliceOrientation: 'coronal', PhaseEncodingDirection: 'i' }, 'zxy'],
  ])('%o: read, phase, slice on %s', (fields, axes) => {
    expect(axesOf(fields)).toBe(axes);
  });

  test.each([
    ['axial', [1, 0, 0, 0, 1, 0]],
    ['sagittal', [0, 1, 0, 0, 0, -1]],
    ['coronal', [1, 0, 0, 0, 0, -1]],
  ])('%s cosines give the same axes as the word', (plane, cosines) => {
    expect(axesOf({ ImageOrientationPatientDICOM: cosines, PhaseEncodingDirection: 'j' })).toBe(
      axesOf({ SliceOrientation: plane, PhaseEncodingDirection: 'j' }),
    );
  });
});

describe('oblique slices', () => {
  const tilt = (degrees: number): number[] => {
    const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    return [1, 0, 0, 0, cos, sin];
  };

  test('a slice turned by 30 degrees about x shares phase and slice between y and z', () => {
    const geometry = scanGeometry(scanWith({ ImageOrientationPatientDICOM: tilt(30) }));
    expect(geometry.y.phase).toBeCloseTo(Math.cos(Math.PI / 6), 12);
    expect(geometry.z.phase).toBeCloseTo(0.5, 12);
    expect(Math.abs(geometry.y.slice)).toBeCloseTo(0.5, 12);
    expect(Math.abs(geometry.z.slice)).toBeCloseTo(Math.cos(Math.PI / 6), 12);
    expect(geometry.x.read).toBe(1);
  });

  test('energy on the three axes together stays the same at any angle, and the sound changes', () => {
    const energyAt = (degrees: number): { gradient: number; sound: number } => {
      const study = studyOf('echo-planar', {
        ImageOrientationPatientDICOM: tilt(degrees),
        PhaseEncodingDirection: 'i',
      });
      const { block } = study.scans[0]!.played.timeline.segments[0]!.layers[0]!;
      let gradient = 0;
      for (const { timesSeconds, amplitudes } of Object.values(block)) {
        for (let i = 1; i < timesSeconds.length; i++) {
          const [a, b] = [amplitudes[i - 1]!, amplitudes[i]!];
          gradient += ((timesSeconds[i]! - timesSeconds[i - 1]!) * (a * a + a * b + b * b)) / 3;
        }
      }
      const samples = collect(study.scanSound('scan', { durationSeconds: 1, perspective: 'bore' }));
      return { gradient, sound: samples.reduce((sum, x) => sum + x * x, 0) };
    };
    const [level, tilted] = [energyAt(0), energyAt(37)];
    expect(tilted.gradient / level.gradient).toBeCloseTo(1, 4);
    expect(Math.abs(10 * Math.log10(tilted.sound / level.sound))).toBeGreaterThan(0.2);
  });

  test.each([[[1, 0, 0, 1, 0, 0]], [[0.5, 0, 0, 0, 1, 0]], [[0, 0, 0, 0, 0, 0]]])(
    '%o are refused: no two unit vectors at a right angle',
    cosines => {
      expect(() => scanGeometry(scanWith({ ImageOrientationPatientDICOM: cosines }))).toThrow(
        UnplayableError,
      );
    },
  );
});
