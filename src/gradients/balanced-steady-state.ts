/**
 * Balanced steady state: excitations as fast as they go, every gradient undone before the next pulse.
 * Slices one after another (2D), or partitions in the inner loop and lines in the outer one (3D).
 *
 * Heard: a steady, loud hum at the excitation rate.
 *
 * @module
 */
import {
  choiceField,
  numberField,
  numbersField,
  type Scan,
  type Scanner,
} from '../protocol/scan.js';
import type { BlockBuilder } from './block-builder.js';
import {
  addSelection,
  halfSelectionSeconds,
  rephasingLobe,
  type SelectivePulse,
} from './excitation.js';
import { scanGeometry } from './geometry.js';
import { encodingShare } from './gradient-echo.js';
import { formatTime, fullLimits, type GradientLimits, UnplayableError } from './hardware.js';
import { imageLines } from './image-lines.js';
import { type Lobe, lobeArea, lobeDurationSeconds, lobeWithin, plateauLobe } from './lobes.js';
import { encodingArea } from './physics.js';
import { phaseEncoded } from './repetitions.js';
import type { PlayedScan } from './timeline.js';

/** Excitation pulse: its share of the repetition time, and time-bandwidth product. Common practice, no source. */
const PULSE = { share: 0.15, timeBandwidth: 2 };

/** One excitation laid out; times in s from its start. */
interface BalancedEcho {
  readonly pulse: SelectivePulse;
  readonly readLobe: Lobe;
  readonly readStartSeconds: number;
  /** Between pulse and readout, and between readout and the next pulse. */
  readonly before: Encoding;
  readonly after: Encoding;
  /** Shares of the slice lobe that undo the pulse's selection, and that encode the outermost partition. */
  readonly selectionShare: number;
  readonly partitionShare: number;
}

/** The lobes of one side of the readout, each at its largest. */
interface Encoding {
  readonly startSeconds: number;
  readonly read: Lobe;
  readonly phase: Lobe;
  readonly slice: Lobe;
}

export function playBalancedSteadyState(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const echo = layOut(scan, limits);
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const partitions = is3d(scan) ? numberField(scan, 'NumberOfSlices') : 1;
  const lineSeconds = partitions * repetitionSeconds;
  const { images, lines } = imageLines(scan, lineSeconds);
  const segments = phaseEncoded(
    {
      count: lines,
      durationSeconds: lineSeconds,
      geometry: scanGeometry(scan),
      draw: (builder, startSeconds) => {
        for (let i = 0; i < partitions; i++) {
          const share = encodingShare(i, partitions);
          drawExcitation(builder, echo, startSeconds + i * repetitionSeconds, share, limits);
        }
      },
    },
    (builder, startSeconds, share) => {
      for (let i = 0; i < partitions; i++) {
        drawPhase(builder, echo, startSeconds + i * repetitionSeconds, share);
      }
    },
  );
  const rate = {
    hertz: 1 / repetitionSeconds,
    cause: `excitations, 1/${formatTime(repetitionSeconds)}`,
  };
  const slices = { hertz: 1 / (lines * lineSeconds), cause: `slices, ${lines} lines each` };
  const rows = { hertz: 1 / lineSeconds, cause: `lines, ${partitions} partitions each` };
  return {
    timeline: { segments: Array.from({ length: images }, () => segments).flat() },
    tones: [rate],
    rhythm: [rate, is3d(scan) ? rows : slices],
  };
}

const is3d = (scan: Scan): boolean => choiceField(scan, 'MRAcquisitionType') === '3D';

/** @throws {UnplayableError} The excitation does not fit into its repetition time. */
function layOut(scan: Scan, limits: GradientLimits): BalancedEcho {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const echoTimeSeconds = numberField(scan, 'EchoTime');
  const bandwidthHz = numberField(scan, 'PixelBandwidth');
  const [readVoxelMm, phaseVoxelMm, thicknessMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const pulse = {
    durationSeconds: PULSE.share * repetitionSeconds,
    timeBandwidth: PULSE.timeBandwidth,
    thicknessMm: thicknessMm! * (is3d(scan) ? numberField(scan, 'NumberOfSlices') : 1),
  };
  const readLobe = plateauLobe(encodingArea(readVoxelMm!) * bandwidthHz, 1 / bandwidthHz, limits);
  const halfPulseSeconds = halfSelectionSeconds(pulse, limits);
  const readStartSeconds = halfPulseSeconds + echoTimeSeconds - lobeDurationSeconds(readLobe) / 2;
  const selectionArea = lobeArea(rephasingLobe(pulse, limits));
  const partitionArea = is3d(scan) ? encodingArea(thicknessMm!) / 2 : 0;
  const sliceArea = Math.abs(selectionArea) + partitionArea;
  const side = (startSeconds: number, endSeconds: number): Encoding | undefined => {
    const [read, phase, slice] = [
      -lobeArea(readLobe) / 2,
      encodingArea(phaseVoxelMm!) / 2,
      sliceArea,
    ].map(area =>
      endSeconds > startSeconds ? lobeWithin(area, endSeconds - startSeconds, limits) : undefined,
    );
    return read && phase && slice ? { startSeconds, read, phase, slice } : undefined;
  };
  const before = side(2 * halfPulseSeconds, readStartSeconds);
  const after = side(readStartSeconds + lobeDurationSeconds(readLobe), repetitionSeconds);
  if (before === undefined || after === undefined || readLobe.amplitude > limits.amplitude) {
    throw new UnplayableError(
      'RepetitionTime',
      `a repetition time of ${formatTime(repetitionSeconds)} with the echo after ${formatTime(echoTimeSeconds)} has no room for ` +
        `pulse, encoding and a readout of ${formatTime(1 / bandwidthHz)} (${bandwidthHz} Hz per pixel, ${readVoxelMm!} mm)`,
      'a longer RepetitionTime with the echo in its middle, a higher PixelBandwidth or larger voxels',
      "Check RepetitionTime, EchoTime, PixelBandwidth, AcquisitionVoxelSize and the scanner's gradient limits.",
    );
  }
  return {
    pulse,
    readLobe,
    readStartSeconds,
    before,
    after,
    selectionShare: selectionArea / sliceArea,
    partitionShare: partitionArea / sliceArea,
  };
}

/** Draws one excitation without its phase encoding. */
function drawExcitation(
  builder: BlockBuilder,
  echo: BalancedEcho,
  startSeconds: number,
  partition: number,
  limits: GradientLimits,
): void {
  const { pulse, readLobe, before, after, selectionShare, partitionShare } = echo;
  addSelection(builder, pulse, startSeconds + halfSelectionSeconds(pulse, limits), limits);
  builder.add('read', before.read, startSeconds + before.startSeconds);
  builder.add('read', readLobe, startSeconds + echo.readStartSeconds);
  builder.add('read', after.read, startSeconds + after.startSeconds);
  const share = partition * partitionShare;
  builder.add('slice', before.slice, startSeconds + before.startSeconds, selectionShare + share);
  builder.add('slice', after.slice, startSeconds + after.startSeconds, selectionShare - share);
}

function drawPhase(
  builder: BlockBuilder,
  { before, after }: BalancedEcho,
  startSeconds: number,
  share: number,
): void {
  builder.add('phase', before.phase, startSeconds + before.startSeconds, share);
  builder.add('phase', after.phase, startSeconds + after.startSeconds, -share);
}
