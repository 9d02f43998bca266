/**
 * Inversion-prepared 3D gradient echo.
 *
 * @module
 */
import {
  ECHO_FIELDS,
  ECHOES,
  IMAGE_FIELDS,
  ISOTROPIC,
  ONE_LINE_PER_REPETITION,
  SLICE_THICKNESS,
  SQUARE_MATRIX,
} from './common.js';
import { estimate, type Family, rule } from './family.js';

/** Pulse, prephasing and spoiling of one excitation of an inversion-prepared train, in s. Common practice, no source. */
const EXCITATION_OVERHEAD_SECONDS = 0.0029;

export const inversionGradientEcho3d: Family = {
  fields: [
    ...IMAGE_FIELDS,
    ...ECHO_FIELDS,
    'InversionTime',
    'InversionTime2',
    'RepetitionTimeExcitation',
    'EchoTrainLength',
    'Navigator',
  ],
  rules: [
    ...ECHOES,
    {
      field: 'RepetitionTimeExcitation',
      from: ['PixelBandwidth', 'EchoTimes'],
      why: `1 / PixelBandwidth + ${EXCITATION_OVERHEAD_SECONDS * 1000} ms for pulse and gradients, and from the first echo to the last`,
      estimate: true,
      value: (bandwidth, echoTimes) => {
        const times = echoTimes as readonly number[];
        return 1 / (bandwidth as number) + EXCITATION_OVERHEAD_SECONDS + times.at(-1)! - times[0]!;
      },
    },
    rule(
      'EchoTrainLength',
      ['NumberOfSlices'],
      'one excitation per partition after each inversion',
      n => n,
    ),
    estimate(
      'EchoTrainLength',
      ['InversionTime', 'RepetitionTimeExcitation'],
      'as many excitations as fit, centred on the inversion time, up to 176',
      (ti, tr) => Math.min(176, Math.floor((2 * (ti - 0.03)) / tr)),
    ),
    rule('NumberOfSlices', ['EchoTrainLength'], 'one partition per excitation', n => n),
    estimate('RepetitionTime', ['InversionTime2'], 'twice the second inversion time', ti => 2 * ti),
    estimate(
      'RepetitionTime',
      ['InversionTime', 'RepetitionTimeExcitation', 'EchoTrainLength'],
      'inversion time + half of the train + 0.6 s of recovery',
      (ti, tr, n) => ti + (n / 2) * tr + 0.6,
    ),
    ISOTROPIC,
    SLICE_THICKNESS,
    SQUARE_MATRIX,
    ONE_LINE_PER_REPETITION,
  ],
};
