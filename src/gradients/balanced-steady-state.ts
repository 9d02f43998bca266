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
import { addSelection, halfSelectionS, rephasingLobe, type SelectivePulse } from './excitation.js';
import { scanGeometry } from './geometry.js';
import { encodingShare } from './gradient-echo.js';
import { formatTime, fullLimits, type GradientLimits, UnplayableError } from './hardware.js';
import { imageLines } from './image-lines.js';
import { type Lobe, lobeArea, lobeDurationS, lobeWithin, plateauLobe } from './lobes.js';
import { encodingArea } from './physics.js';
import { phaseEncoded } from './repetitions.js';
import type { PlayedScan } from './timeline.js';

/** Excitation pulse: its share of the repetition time, and time-bandwidth product. Common practice, no source. */
const PULSE = { share: 0.15, timeBandwidth: 2 };

/** One excitation laid out; times in s from its start. */
interface BalancedEcho {
  readonly pulse: SelectivePulse;
  readonly readLobe: Lobe;
  readonly readStartS: number;
  /** Between pulse and readout, and between readout and the next pulse. */
  readonly before: Encoding;
  readonly after: Encoding;
  /** Shares of the slice lobe that undo the pulse's selection, and that encode the outermost partition. */
  readonly selectionShare: number;
  readonly partitionShare: number;
}

/** The lobes of one side of the readout, each at its largest. */
interface Encoding {
  readonly startS: number;
  readonly read: Lobe;
  readonly phase: Lobe;
  readonly slice: Lobe;
}

export function playBalancedSteadyState(scan: Scan, scanner: Scanner): PlayedScan {
  const limits = fullLimits(scanner);
  const echo = layOut(scan, limits);
  const repetitionS = numberField(scan, 'RepetitionTime');
  const partitions = is3d(scan) ? numberField(scan, 'NumberOfSlices') : 1;
  const lineS = partitions * repetitionS;
  const { images, lines } = imageLines(scan, lineS);
  const segments = phaseEncoded(
    {
      count: lines,
      durationS: lineS,
      geometry: scanGeometry(scan),
      draw: (builder, startS) => {
        for (let i = 0; i < partitions; i++) {
          const share = encodingShare(i, partitions);
          drawExcitation(builder, echo, startS + i * repetitionS, share, limits);
        }
      },
    },
    (builder, startS, share) => {
      for (let i = 0; i < partitions; i++) {
        drawPhase(builder, echo, startS + i * repetitionS, share);
      }
    },
  );
  const rate = { hertz: 1 / repetitionS, cause: `excitations, 1/${formatTime(repetitionS)}` };
  const slices = { hertz: 1 / (lines * lineS), cause: `slices, ${lines} lines each` };
  const rows = { hertz: 1 / lineS, cause: `lines, ${partitions} partitions each` };
  return {
    timeline: { segments: Array.from({ length: images }, () => segments).flat() },
    tones: [rate],
    rhythm: [rate, is3d(scan) ? rows : slices],
  };
}

const is3d = (scan: Scan): boolean => choiceField(scan, 'MRAcquisitionType') === '3D';

/** @throws {UnplayableError} The excitation does not fit into its repetition time. */
function layOut(scan: Scan, limits: GradientLimits): BalancedEcho {
  const repetitionS = numberField(scan, 'RepetitionTime');
  const echoTimeS = numberField(scan, 'EchoTime');
  const bandwidthHz = numberField(scan, 'PixelBandwidth');
  const [readVoxelMm, phaseVoxelMm, thicknessMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const pulse = {
    durationS: PULSE.share * repetitionS,
    timeBandwidth: PULSE.timeBandwidth,
    thicknessMm: thicknessMm! * (is3d(scan) ? numberField(scan, 'NumberOfSlices') : 1),
  };
  const readLobe = plateauLobe(encodingArea(readVoxelMm!) * bandwidthHz, 1 / bandwidthHz, limits);
  const halfPulseS = halfSelectionS(pulse, limits);
  const readStartS = halfPulseS + echoTimeS - lobeDurationS(readLobe) / 2;
  const selectionArea = lobeArea(rephasingLobe(pulse, limits));
  const partitionArea = is3d(scan) ? encodingArea(thicknessMm!) / 2 : 0;
  const sliceArea = Math.abs(selectionArea) + partitionArea;
  const side = (startS: number, endS: number): Encoding | undefined => {
    const [read, phase, slice] = [
      -lobeArea(readLobe) / 2,
      encodingArea(phaseVoxelMm!) / 2,
      sliceArea,
    ].map(area => (endS > startS ? lobeWithin(area, endS - startS, limits) : undefined));
    return read && phase && slice ? { startS, read, phase, slice } : undefined;
  };
  const before = side(2 * halfPulseS, readStartS);
  const after = side(readStartS + lobeDurationS(readLobe), repetitionS);
  if (before === undefined || after === undefined || readLobe.amplitude > limits.amplitude) {
    throw new UnplayableError(
      'RepetitionTime',
      `a repetition time of ${formatTime(repetitionS)} with the echo after ${formatTime(echoTimeS)} has no room for ` +
        `pulse, encoding and a readout of ${formatTime(1 / bandwidthHz)} (${bandwidthHz} Hz per pixel, ${readVoxelMm!} mm)`,
      'a longer RepetitionTime with the echo in its middle, a higher PixelBandwidth or larger voxels',
      "Check RepetitionTime, EchoTime, PixelBandwidth, AcquisitionVoxelSize and the scanner's gradient limits.",
    );
  }
  return {
    pulse,
    readLobe,
    readStartS,
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
  startS: number,
  partition: number,
  limits: GradientLimits,
): void {
  const { pulse, readLobe, before, after, selectionShare, partitionShare } = echo;
  addSelection(builder, pulse, startS + halfSelectionS(pulse, limits), limits);
  builder.add('read', before.read, startS + before.startS);
  builder.add('read', readLobe, startS + echo.readStartS);
  builder.add('read', after.read, startS + after.startS);
  const share = partition * partitionShare;
  builder.add('slice', before.slice, startS + before.startS, selectionShare + share);
  builder.add('slice', after.slice, startS + after.startS, selectionShare - share);
}

function drawPhase(
  builder: BlockBuilder,
  { before, after }: BalancedEcho,
  startS: number,
  share: number,
): void {
  builder.add('phase', before.phase, startS + before.startS, share);
  builder.add('phase', after.phase, startS + after.startS, -share);
}
