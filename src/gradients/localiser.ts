/**
 * Localiser: quick stacks of 2D gradient-echo slices, axial, coronal, then sagittal.
 *
 * Heard: a short buzz at the excitation rate that changes colour twice, with the planes.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { geometryOf } from './geometry.js';
import { drawGradientEcho, encodingShare, layOutGradientEcho } from './gradient-echo.js';
import { formatTime, type GradientLimits } from './hardware.js';
import type { PlayedScan } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Slice-selective excitation pulse: length in s and time-bandwidth product. Common practice, no source. */
const PULSE = { durationSeconds: 0.0015, timeBandwidth: 2.7 };

/** The three planes in the order in which they are played. */
const PLANES = [geometryOf('x', 'y', 'z'), geometryOf('z', 'x', 'y'), geometryOf('z', 'y', 'x')];

export function playLocaliser(scan: Scan, scanner: Scanner): PlayedScan {
  return playGentlyIfPossible(scanner, limits => play(scan, limits));
}

function play(scan: Scan, limits: GradientLimits): PlayedScan {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const lines = numberField(scan, 'AcquisitionMatrixPE');
  const [readVoxelMm, phaseVoxelMm, thicknessMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const echo = layOutGradientEcho(
    {
      pulse: { ...PULSE, thicknessMm: thicknessMm! },
      echoTimesSeconds: [numberField(scan, 'EchoTime')],
      repetitionSeconds,
      pixelBandwidthHz: numberField(scan, 'PixelBandwidth'),
      readVoxelMm: readVoxelMm!,
      phaseVoxelMm: phaseVoxelMm!,
      repetitionField: 'RepetitionTime',
      echoField: 'EchoTime',
    },
    limits,
  );
  const builder = new BlockBuilder();
  for (let i = 0; i < lines; i++) {
    drawGradientEcho(builder, echo, i * repetitionSeconds, {
      phase: encodingShare(i, lines),
      partition: 0,
    });
  }
  const sliceSeconds = lines * repetitionSeconds;
  const slices = Math.max(1, Math.round(numberField(scan, 'Duration') / sliceSeconds));
  const segments = PLANES.flatMap((geometry, plane) => {
    const repeats = Math.floor((slices + PLANES.length - 1 - plane) / PLANES.length);
    const layers = [{ block: builder.build(geometry), gain: 1 }];
    return repeats === 0 ? [] : [{ durationSeconds: sliceSeconds, repeats, layers }];
  });
  const excitations = {
    hertz: 1 / repetitionSeconds,
    cause: `excitations, 1/${formatTime(repetitionSeconds)}`,
  };
  return {
    timeline: { segments },
    tones: [excitations],
    rhythm: [excitations, { hertz: 1 / sliceSeconds, cause: `slices, ${lines} lines each` }],
  };
}
