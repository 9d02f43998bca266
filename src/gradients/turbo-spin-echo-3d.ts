/**
 * 3D turbo spin echo: one excitation, then a long train of refocusing pulses with a short readout
 * between each two, and a long rest. With an inversion time, each train follows an inversion; with a
 * navigator, each repetition ends in a short burst of its own.
 *
 * Heard: a fast rattle at the echo rate for about a second, then silence for two.
 *
 * @module
 */
import {
  booleanField,
  numberField,
  numbersField,
  type Scan,
  type Scanner,
} from '../protocol/scan.js';
import { BlockBuilder } from './block-builder.js';
import {
  addFatSaturation,
  addInversion,
  addShotSpoiler,
  FAT_PULSE_SECONDS,
  fatSaturationSeconds,
} from './excitation.js';
import { scanGeometry } from './geometry.js';
import { encodingShare } from './gradient-echo.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { addNavigator, layOutNavigator, navigatorTone } from './navigator.js';
import { drawSpinEchoTrain, layOutSpinEchoTrain } from './spin-echo-train.js';
import type { PlayedScan, Segment } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Non-selective pulses: excitation and refocusing, in s. They are silent. Common practice, no source. */
const EXCITATION_SECONDS = 0.001;
const REFOCUSING_SECONDS = 0.0007;

export function playTurboSpinEcho3d(scan: Scan, scanner: Scanner): PlayedScan {
  return playGentlyIfPossible(scanner, limits => play(scan, limits));
}

function play(scan: Scan, limits: GradientLimits): PlayedScan {
  const repetitionSeconds = numberField(scan, 'RepetitionTime');
  const spacingSeconds = numberField(scan, 'EchoSpacing');
  const echoes = numberField(scan, 'EchoTrainLength');
  const [readVoxelMm, phaseVoxelMm, partitionVoxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const train = layOutSpinEchoTrain(
    {
      excitation: { durationSeconds: EXCITATION_SECONDS },
      refocusing: { durationSeconds: REFOCUSING_SECONDS },
      spacingSeconds,
      echoes,
      pixelBandwidthHz: numberField(scan, 'PixelBandwidth'),
      readVoxelMm: readVoxelMm!,
      phaseVoxelMm: phaseVoxelMm!,
      partitionVoxelMm: partitionVoxelMm!,
      spacingField: 'EchoSpacing',
    },
    limits,
  );

  const whole = new BlockBuilder();
  const partition = new BlockBuilder();
  const preparedSeconds = addPreparation(whole, scan, limits);
  const trainEndSeconds = drawSpinEchoTrain({ whole, partition }, train, preparedSeconds, echo =>
    encodingShare(echo, echoes),
  );
  const endSeconds = addShotSpoiler(whole, trainEndSeconds, limits);
  const navigator = booleanField(scan, 'Navigator') ? layOutNavigator(limits) : undefined;
  const navigatorStartSeconds = repetitionSeconds - (navigator?.durationSeconds ?? 0);
  if (endSeconds > navigatorStartSeconds) {
    const neededSeconds = endSeconds + (navigator?.durationSeconds ?? 0);
    throw new UnplayableError(
      'RepetitionTime',
      `a train of ${echoes} echoes ${formatTime(spacingSeconds)} apart, with what belongs to it, takes ` +
        `${formatTime(neededSeconds)}, longer than the repetition time of ${formatTime(repetitionSeconds)}`,
      `a RepetitionTime of at least ${formatTime(neededSeconds)}, or a shorter train`,
      'Check RepetitionTime, InversionTime, EchoTrainLength and EchoSpacing.',
    );
  }
  if (navigator !== undefined) addNavigator(whole, navigator, navigatorStartSeconds);

  const geometry = scanGeometry(scan);
  const wholeBlock = whole.build(geometry);
  const partitionBlock = partition.build(geometry);
  const shots = Math.max(1, Math.round(numberField(scan, 'Duration') / repetitionSeconds));
  const segments = Array.from({ length: shots }, (_, i): Segment => {
    const layers = [
      { block: wholeBlock, gain: 1 },
      { block: partitionBlock, gain: encodingShare(i, shots) },
    ];
    return { durationSeconds: repetitionSeconds, repeats: 1, layers };
  });
  const echoRate = { hertz: 1 / spacingSeconds, cause: `echoes, 1/${formatTime(spacingSeconds)}` };
  return {
    timeline: { segments },
    tones: [echoRate, ...(navigator === undefined ? [] : [navigatorTone(navigator)])],
    rhythm: [
      echoRate,
      {
        hertz: 1 / repetitionSeconds,
        cause: `trains, 1/${formatTime(repetitionSeconds)}: ${formatTime(echoes * spacingSeconds)} of rattle, then rest`,
      },
    ],
  };
}

/** Inversion and fat saturation. Returns when the excitation may start, in s. */
function addPreparation(whole: BlockBuilder, scan: Scan, limits: GradientLimits): number {
  const fat = booleanField(scan, 'FatSaturation');
  const fatSeconds = fat ? fatSaturationSeconds(FAT_PULSE_SECONDS.usual, limits) : 0;
  const inversionTimeSeconds = scan.fields.InversionTime?.value;
  let startSeconds = fatSeconds;
  if (typeof inversionTimeSeconds === 'number') {
    const { pulseCentreSeconds, endSeconds } = addInversion(whole, 0, limits);
    startSeconds = pulseCentreSeconds + inversionTimeSeconds - EXCITATION_SECONDS / 2;
    if (startSeconds - fatSeconds < endSeconds) {
      throw new UnplayableError(
        'InversionTime',
        `an inversion time of ${formatTime(inversionTimeSeconds)} ends before the inversion's spoiler does`,
        `at least ${formatTime(endSeconds + fatSeconds - pulseCentreSeconds + EXCITATION_SECONDS / 2)}`,
        'Check InversionTime.',
      );
    }
  }
  if (fat) addFatSaturation(whole, startSeconds - fatSeconds, FAT_PULSE_SECONDS.usual, limits);
  return startSeconds;
}
