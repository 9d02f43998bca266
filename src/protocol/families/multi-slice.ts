/**
 * Rules that the 2D spin echoes share: how their slices fill a repetition.
 *
 * @module
 */
import type { FieldName } from '../fields.js';
import { estimate, positive, type Rule, rule } from './family.js';

/** Fat saturation, excitation and spoiler of one train, in s. Common practice, no source. */
export const TRAIN_OVERHEAD_S = 0.02;

/** Inversion of a slice with its spoiler, in s. Common practice, no source. */
const INVERSION_S = 0.03;

/** Most concatenations, and most slices of one, that are guessed. */
const MOST_CONCATENATIONS = 20;
const MOST_SLICES = 30;

/**
 * Concatenations and slices from one another.
 *
 * @param from - Fields that the length of a train follows from.
 * @param trainS - That length in s.
 */
export function sliceRules(
  from: readonly FieldName[],
  trainS: (...from: number[]) => number,
): readonly Rule[] {
  const perGroup = (roomS: number, of: readonly number[]): number =>
    Math.floor(roomS / trainS(...of));
  const groups = (slices: number, most: number): number | undefined => {
    const needed = Math.ceil(slices / most);
    return most >= 1 && needed <= MOST_CONCATENATIONS ? needed : undefined;
  };
  const betweenInversions = (tr: number, ti: number): number => Math.min(ti, tr - ti) - INVERSION_S;
  const fit = 'fit into RepetitionTime';
  const fitTwice = `fit twice into RepetitionTime, as inversions and as trains`;
  return [
    estimate(
      'NumberOfConcatenations',
      ['NumberOfSlices', 'RepetitionTime', 'InversionTime', ...from],
      `as few as let a group of slices ${fitTwice}`,
      (slices, tr, ti, ...of) => groups(slices, perGroup(betweenInversions(tr, ti), of)),
    ),
    estimate(
      'NumberOfConcatenations',
      ['NumberOfSlices', 'RepetitionTime', ...from],
      `as few as let a group of slices ${fit}`,
      (slices, tr, ...of) => groups(slices, perGroup(tr, of)),
    ),
    estimate(
      'NumberOfSlices',
      ['NumberOfConcatenations', 'RepetitionTime', 'InversionTime', ...from],
      `as many as ${fitTwice}, up to ${MOST_SLICES} a concatenation`,
      (count, tr, ti, ...of) => count * atLeastOne(perGroup(betweenInversions(tr, ti), of)),
    ),
    estimate(
      'NumberOfSlices',
      ['NumberOfConcatenations', 'RepetitionTime', ...from],
      `as many as ${fit}, up to ${MOST_SLICES} a concatenation`,
      (count, tr, ...of) => count * atLeastOne(perGroup(tr, of)),
    ),
    rule(
      'Duration',
      [
        'RepetitionTime',
        'NumberOfConcatenations',
        'AcquisitionMatrixPE',
        'PartialFourier',
        'ParallelReductionFactorInPlane',
        'EchoTrainLength',
      ],
      'RepetitionTime x concatenations x lines x partial Fourier / (acceleration x echoes per train)',
      (tr, count, lines, pf, r, etl) => positive(tr * count * Math.ceil((lines * pf) / (r * etl))),
    ),
  ];
}

const atLeastOne = (slices: number): number => Math.max(1, Math.min(MOST_SLICES, slices));
