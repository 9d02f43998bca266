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
  FAT_PULSE_S,
  fatSaturationS,
} from './excitation.js';
import { scanGeometry } from './geometry.js';
import { encodingShare } from './gradient-echo.js';
import { formatTime, type GradientLimits, UnplayableError } from './hardware.js';
import { addNavigator, layOutNavigator, navigatorTone } from './navigator.js';
import { drawSpinEchoTrain, layOutSpinEchoTrain } from './spin-echo-train.js';
import type { PlayedScan, Segment } from './timeline.js';
import { playGentlyIfPossible } from './within-limits.js';

/** Non-selective pulses: excitation and refocusing, in s. They are silent. Common practice, no source. */
const EXCITATION_S = 0.001;
const REFOCUSING_S = 0.0007;

export function playTurboSpinEcho3d(scan: Scan, scanner: Scanner): PlayedScan {
  return playGentlyIfPossible(scanner, limits => play(scan, limits));
}

function play(scan: Scan, limits: GradientLimits): PlayedScan {
  const repetitionS = numberField(scan, 'RepetitionTime');
  const spacingS = numberField(scan, 'EchoSpacing');
  const echoes = numberField(scan, 'EchoTrainLength');
  const [readVoxelMm, phaseVoxelMm, partitionVoxelMm] = numbersField(scan, 'AcquisitionVoxelSize');
  const train = layOutSpinEchoTrain(
    {
      excitation: { durationS: EXCITATION_S },
      refocusing: { durationS: REFOCUSING_S },
      spacingS,
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
  const preparedS = addPreparation(whole, scan, limits);
  const trainEndS = drawSpinEchoTrain({ whole, partition }, train, preparedS, echo =>
    encodingShare(echo, echoes),
  );
  const endS = addShotSpoiler(whole, trainEndS, limits);
  const navigator = booleanField(scan, 'Navigator') ? layOutNavigator(limits) : undefined;
  const navigatorStartS = repetitionS - (navigator?.durationS ?? 0);
  if (endS > navigatorStartS) {
    const neededS = endS + (navigator?.durationS ?? 0);
    throw new UnplayableError(
      'RepetitionTime',
      `a train of ${echoes} echoes ${formatTime(spacingS)} apart, with what belongs to it, takes ` +
        `${formatTime(neededS)}, longer than the repetition time of ${formatTime(repetitionS)}`,
      `a RepetitionTime of at least ${formatTime(neededS)}, or a shorter train`,
      'Check RepetitionTime, InversionTime, EchoTrainLength and EchoSpacing.',
    );
  }
  if (navigator !== undefined) addNavigator(whole, navigator, navigatorStartS);

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
    tones: [echoRate, ...(navigator === undefined ? [] : [navigatorTone(navigator)])],
    rhythm: [
      echoRate,
      {
        hertz: 1 / repetitionS,
        cause: `trains, 1/${formatTime(repetitionS)}: ${formatTime(echoes * spacingS)} of rattle, then rest`,
      },
    ],
  };
}

/** Inversion and fat saturation. Returns when the excitation may start, in s. */
function addPreparation(whole: BlockBuilder, scan: Scan, limits: GradientLimits): number {
  const fat = booleanField(scan, 'FatSaturation');
  const fatS = fat ? fatSaturationS(FAT_PULSE_S.usual, limits) : 0;
  const inversionTimeS = scan.fields.InversionTime?.value;
  let startS = fatS;
  if (typeof inversionTimeS === 'number') {
    const { pulseCentreS, endS } = addInversion(whole, 0, limits);
    startS = pulseCentreS + inversionTimeS - EXCITATION_S / 2;
    if (startS - fatS < endS) {
      throw new UnplayableError(
        'InversionTime',
        `an inversion time of ${formatTime(inversionTimeS)} ends before the inversion's spoiler does`,
        `at least ${formatTime(endS + fatS - pulseCentreS + EXCITATION_S / 2)}`,
        'Check InversionTime.',
      );
    }
  }
  if (fat) addFatSaturation(whole, startS - fatS, FAT_PULSE_S.usual, limits);
  return startS;
}
