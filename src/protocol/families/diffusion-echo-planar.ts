/**
 * Diffusion echo planar.
 *
 * @module
 */
import { ECHO_PLANAR_FIELDS, echoPlanarRules, PROTON_HZ_PER_T } from './echo-planar.js';
import { estimate, type Family } from './family.js';

/** Diffusion lobes: amplitude in mT/m, and what half of the echo time holds besides a lobe, in s. Common practice, no source. */
const LOBE_AMPLITUDE = 70;
const LOBE_OVERHEAD_SECONDS = 0.0035;

/** Typical length of one shot, in s. Common practice, no source. */
const SHOT_SECONDS = 0.14;

export const diffusionEchoPlanar: Family = {
  fields: [
    ...ECHO_PLANAR_FIELDS,
    'DiffusionBValues',
    'NumberOfDirections',
    'DoubleRefocused',
    'DiffusionGradientAmplitude',
    'DiffusionGradientDuration',
    'DiffusionGradientSeparation',
  ],
  rules: [
    estimate(
      'DiffusionBValues',
      [
        'EchoTime',
        'EchoSpacing',
        'EchoTrainLength',
        'AcquisitionMatrixPE',
        'ParallelReductionFactorInPlane',
      ],
      `one shell: what ${LOBE_AMPLITUDE} mT/m can make within the echo time, up to 1000`,
      (te, spacing, echoes, lines, r) => {
        const centreSeconds = Math.max(0, echoes - lines / (2 * r)) * spacing;
        const lobeSeconds = te / 2 - centreSeconds - LOBE_OVERHEAD_SECONDS;
        if (lobeSeconds <= 0) return undefined;
        const strength = 2 * Math.PI * PROTON_HZ_PER_T * LOBE_AMPLITUDE * 1e-3 * lobeSeconds;
        const highest =
          strength ** 2 * (lobeSeconds + 2 * LOBE_OVERHEAD_SECONDS - lobeSeconds / 3) * 1e-6;
        return [0, Math.max(50, Math.min(1000, Math.floor(highest / 50) * 50))];
      },
    ),
    {
      field: 'NumberOfVolumes',
      from: ['NumberOfDirections', 'DiffusionBValues'],
      why: 'directions x shells, and one volume without weighting for every b-value of 0',
      estimate: false,
      value: (directions, bValues) => {
        const shells = (bValues as readonly number[]).filter(b => b > 0).length;
        const unweighted = (bValues as readonly number[]).length - shells;
        return (directions as number) * shells + unweighted;
      },
    },
    ...echoPlanarRules(SHOT_SECONDS),
  ],
};
