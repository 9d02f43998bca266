/**
 * The excitation of 3D gradient echoes, laid out as gently as its times allow.
 *
 * @module
 */
import type { FieldName } from '../protocol/fields.js';
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { echoField, type GradientEcho, layOutGradientEcho } from './gradient-echo.js';
import { type GradientLimits, UnplayableError } from './hardware.js';
import { playGentlyIfPossible } from './within-limits.js';

/**
 * Excitation pulses: one that selects the slab, and the short one that selects nothing of scans in a
 * hurry; length in s and time-bandwidth product. Common practice, no source.
 */
const SLAB_PULSE = { durationSeconds: 0.001, timeBandwidth: 4 };
const HARD_PULSE = { durationSeconds: 0.0002, timeBandwidth: 0 };

/** Echoes after one excitation, and the field that they are from. */
export interface Echoes {
  readonly timesSeconds: readonly number[];
  readonly field: FieldName;
}

/**
 * An excitation of the whole slab, with a pulse that selects it where that fits; a pulse that selects
 * nothing is tried before stronger gradients.
 *
 * @param repetitionField - The field that holds the time between excitations.
 * @throws {UnplayableError} It does not even fit with a pulse that selects nothing.
 */
export function layOutSlabEcho(
  scan: Scan,
  scanner: Scanner,
  repetitionField: FieldName,
  echoes: Echoes = { timesSeconds: numbersField(scan, 'EchoTimes'), field: echoField(scan) },
): GradientEcho {
  const [readVoxelMm, phaseVoxelMm, partitionVoxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const thicknessMm = numberField(scan, 'NumberOfSlices') * partitionVoxelMm!;
  const withPulse = (pulse: typeof SLAB_PULSE, limits: GradientLimits): GradientEcho =>
    layOutGradientEcho(
      {
        pulse: { ...pulse, thicknessMm },
        echoTimesSeconds: echoes.timesSeconds,
        repetitionSeconds: numberField(scan, repetitionField),
        pixelBandwidthHz: numberField(scan, 'PixelBandwidth'),
        readVoxelMm: readVoxelMm!,
        phaseVoxelMm: phaseVoxelMm!,
        partitionVoxelMm: partitionVoxelMm!,
        repetitionField,
        echoField: echoes.field,
      },
      limits,
    );
  return playGentlyIfPossible(scanner, limits => {
    try {
      return withPulse(SLAB_PULSE, limits);
    } catch (error) {
      if (!(error instanceof UnplayableError)) throw error;
      return withPulse(HARD_PULSE, limits);
    }
  });
}
