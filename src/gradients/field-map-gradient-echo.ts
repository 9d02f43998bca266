/**
 * Dual-echo gradient-echo field map: 2D slices in turn, two echoes after each excitation; once for
 * every phase-encoding line.
 *
 * Heard: an even, quick knocking at the slice rate.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { scanGeometry } from './geometry.js';
import {
  drawGradientEcho,
  drawPhaseEncoding,
  encodingShare,
  type GradientEcho,
  layOutGradientEcho,
} from './gradient-echo.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import type { PlayedScan, Segment } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Slice-selective excitation pulse: length in s and time-bandwidth product. Common practice, no source. */
const PULSE = { durationS: 0.0025, timeBandwidth: 2.7 };

export function playFieldMapGradientEcho(scan: Scan, scanner: Scanner): PlayedScan {
  return playGentlyIfPossible(scanner, limits => play(scan, limits));
}

function play(scan: Scan, limits: GradientLimits): PlayedScan {
  const repetitionS = numberField(scan, 'RepetitionTime');
  const slices = numberField(scan, 'NumberOfSlices');
  const echoes = excitationsPerSlice(scan, limits);
  const excitationS = repetitionS / (slices * echoes.length);

  const whole = new BlockBuilder();
  const line = new BlockBuilder();
  for (let i = 0; i < slices * echoes.length; i++) {
    const echo = echoes[i % echoes.length]!;
    drawGradientEcho(whole, echo, i * excitationS, { phase: 0, partition: 0 });
    drawPhaseEncoding(line, echo, i * excitationS, 1);
  }
  const geometry = scanGeometry(scan);
  const wholeBlock = whole.build(geometry);
  const lineBlock = line.build(geometry);
  const lines = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionS));
  const segments = Array.from({ length: lines }, (_, i): Segment => {
    const layers = [
      { block: wholeBlock, gain: 1 },
      { block: lineBlock, gain: encodingShare(i, lines) },
    ];
    return { durationS: repetitionS, repeats: 1, layers };
  });
  const excitations = {
    hertz: 1 / excitationS,
    cause: `excitations, ${slices * echoes.length} in ${formatTime(repetitionS)}`,
  };
  return {
    timeline: { segments },
    tones: [excitations],
    rhythm: [excitations, { hertz: 1 / repetitionS, cause: `lines, 1/${formatTime(repetitionS)}` }],
  };
}

/**
 * Both echoes after one excitation where the readouts fit between the echo times; else one echo per
 * excitation, the two echo times taking turns.
 */
function excitationsPerSlice(scan: Scan, limits: GradientLimits): readonly GradientEcho[] {
  const echoTimesS = [numberField(scan, 'EchoTime1'), numberField(scan, 'EchoTime2')];
  const perSliceS = numberField(scan, 'RepetitionTime') / numberField(scan, 'NumberOfSlices');
  try {
    return [layOut(scan, echoTimesS, perSliceS, limits)];
  } catch (error) {
    if (!(error instanceof UnplayableError)) throw error;
    return echoTimesS.map(echoTimeS => layOut(scan, [echoTimeS], perSliceS / 2, limits));
  }
}

function layOut(
  scan: Scan,
  echoTimesS: readonly number[],
  repetitionS: number,
  limits: GradientLimits,
): GradientEcho {
  const [readVoxelMm, phaseVoxelMm, thicknessMm] = numbersField(scan, 'AcquisitionVoxelSize');
  return layOutGradientEcho(
    {
      pulse: { ...PULSE, thicknessMm: thicknessMm! },
      echoTimesS,
      repetitionS,
      pixelBandwidthHz: numberField(scan, 'PixelBandwidth'),
      readVoxelMm: readVoxelMm!,
      phaseVoxelMm: phaseVoxelMm!,
      repetitionField: 'RepetitionTime',
      echoField: 'EchoTime1',
    },
    limits,
  );
}
