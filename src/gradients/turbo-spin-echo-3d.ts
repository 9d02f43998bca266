/**
 * 3D turbo spin echo: one excitation, then a long train of refocusing pulses with a short readout
 * between each two, and a long rest.
 *
 * Heard: a fast rattle at the echo rate for about a second, then silence for two.
 *
 * @module
 */
import { numberField, numbersField, type Scan, type Scanner } from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import { addFatSaturation, addShotSpoiler, FAT_PULSE_S } from './excitation.js';
import { scanGeometry } from './geometry.js';
import { encodingShare } from './gradient-echo.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import {
  type Lobe,
  lobeArea,
  lobeDurationS,
  lobeWithin,
  plateauLobe,
  shortestLobe,
} from './lobes.js';
import { encodingArea } from './physics.js';
import type { PlayedScan, Segment } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Non-selective pulses: excitation and refocusing, in s. They are silent. Common practice, no source. */
const EXCITATION_S = 0.001;
const REFOCUSING_S = 0.0007;

/** Area of a crusher beside each refocusing pulse, as a share of the readout's. Common practice, no source. */
const CRUSHER_SHARE = 0.5;

/** One echo of the train laid out; times in s from the middle of its refocusing pulse. */
interface Echo {
  readonly readLobe: Lobe;
  readonly crusher: Lobe;
  readonly phaseLobe: Lobe;
  readonly partitionLobe: Lobe;
  readonly encodingStartS: number;
  readonly readStartS: number;
  readonly rewindingStartS: number;
}

export function playTurboSpinEcho3d(scan: Scan, scanner: Scanner): PlayedScan {
  return playGentlyIfPossible(scanner, limits => play(scan, limits));
}

function play(scan: Scan, limits: GradientLimits): PlayedScan {
  const repetitionS = numberField(scan, 'RepetitionTime');
  const spacingS = numberField(scan, 'EchoSpacing');
  const echoes = numberField(scan, 'EchoTrainLength');
  const echo = layOutEcho(scan, limits);

  const whole = new BlockBuilder();
  const partition = new BlockBuilder();
  const fatS =
    scan.fields.FatSaturation?.value === true
      ? addFatSaturation(whole, 0, FAT_PULSE_S.usual, limits)
      : 0;
  const excitationS = fatS + EXCITATION_S / 2;
  // Half of an echo's read area before the first refocusing pulse lets every echo form.
  const readArea = lobeArea(echo.readLobe) + 2 * lobeArea(echo.crusher);
  whole.addCentred('read', shortestLobe(readArea / 2, limits), excitationS + spacingS / 4);
  for (let i = 0; i < echoes; i++) {
    drawEcho(whole, partition, echo, excitationS + (i + 0.5) * spacingS, encodingShare(i, echoes));
  }
  const trainEndS = excitationS + (echoes + 0.5) * spacingS;
  const endS = addShotSpoiler(whole, trainEndS, limits);
  if (endS > repetitionS) {
    throw new UnplayableError(
      'RepetitionTime',
      `a train of ${echoes} echoes ${formatTime(spacingS)} apart takes ${formatTime(endS)}, longer than the repetition time of ${formatTime(repetitionS)}`,
      `a RepetitionTime of at least ${formatTime(endS)}, or a shorter train`,
      'Check RepetitionTime, EchoTrainLength and EchoSpacing.',
    );
  }

  const geometry = scanGeometry(scan);
  const wholeBlock = whole.build(geometry);
  const partitionBlock = partition.build(geometry);
  const shots = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionS));
  const segments = Array.from({ length: shots }, (_, i): Segment => {
    const layers = [
      { block: wholeBlock, gain: 1 },
      { block: partitionBlock, gain: encodingShare(i, shots) },
    ];
    return { durationS: repetitionS, repeats: 1, layers };
  });
  const echoRate = { hertz: 1 / spacingS, cause: `echoes, 1/${formatTime(spacingS)}` };
  return {
    timeline: { segments },
    tones: [echoRate],
    rhythm: [
      echoRate,
      {
        hertz: 1 / repetitionS,
        cause: `trains, 1/${formatTime(repetitionS)}: ${formatTime(echoes * spacingS)} of rattle, then rest`,
      },
    ],
  };
}

function layOutEcho(scan: Scan, limits: GradientLimits): Echo {
  const spacingS = numberField(scan, 'EchoSpacing');
  const bandwidthHz = numberField(scan, 'PixelBandwidth');
  const [readVoxelMm, phaseVoxelMm, partitionVoxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const readLobe = plateauLobe(encodingArea(readVoxelMm!) * bandwidthHz, 1 / bandwidthHz, limits);
  const areas = {
    phase: encodingArea(phaseVoxelMm!) / 2,
    partition: encodingArea(partitionVoxelMm!) / 2,
    crusher: CRUSHER_SHARE * encodingArea(readVoxelMm!),
  };
  const roomS = (spacingS - REFOCUSING_S - lobeDurationS(readLobe)) / 2;
  // Lobes fill the time between pulse and readout, so that they are as gentle as it allows.
  const phaseLobe = lobeWithin(areas.phase, roomS, limits);
  const partitionLobe = lobeWithin(areas.partition, roomS, limits);
  const crusher = lobeWithin(areas.crusher, roomS, limits);
  if (
    phaseLobe === undefined ||
    partitionLobe === undefined ||
    crusher === undefined ||
    readLobe.amplitude > limits.amplitude
  ) {
    const needed = Object.values(areas).map(area => lobeDurationS(shortestLobe(area, limits)));
    throw new UnplayableError(
      'EchoSpacing',
      `an echo spacing of ${formatTime(spacingS)} has no room for a refocusing pulse, encoding and a readout of ${formatTime(1 / bandwidthHz)} (${bandwidthHz} Hz per pixel, ${readVoxelMm!} mm)`,
      `at least ${formatTime(REFOCUSING_S + lobeDurationS(readLobe) + 2 * Math.max(...needed))}`,
      "Check EchoSpacing, PixelBandwidth, AcquisitionVoxelSize and the scanner's gradient limits.",
    );
  }
  const readStartS = spacingS / 2 - lobeDurationS(readLobe) / 2;
  return {
    readLobe,
    crusher,
    phaseLobe,
    partitionLobe,
    encodingStartS: REFOCUSING_S / 2,
    readStartS,
    rewindingStartS: readStartS + lobeDurationS(readLobe),
  };
}

/** One echo after a refocusing pulse. The partition encoding, which changes from train to train, is drawn apart. */
function drawEcho(
  whole: BlockBuilder,
  partition: BlockBuilder,
  echo: Echo,
  pulseS: number,
  phase: number,
): void {
  const encodingS = pulseS + echo.encodingStartS;
  const readS = pulseS + echo.readStartS;
  const rewindingS = pulseS + echo.rewindingStartS;
  whole.add('read', echo.crusher, readS - lobeDurationS(echo.crusher));
  whole.add('read', echo.readLobe, readS);
  whole.add('read', echo.crusher, rewindingS);
  whole.add('phase', echo.phaseLobe, encodingS, phase);
  whole.add('phase', echo.phaseLobe, rewindingS, -phase);
  partition.add('slice', echo.partitionLobe, encodingS);
  partition.add('slice', echo.partitionLobe, rewindingS, -1);
}
