/**
 * Rules that the 2D spin echoes share: how their slices fill a repetition.
 *
 * @module
 */
import type { FieldName } from '../fields.js';
import { estimate, positive, type Rule, rule } from './family.js';

/** Excitation, last rewinding and spoiler of a train, and fat saturation before it, in s. Common practice, no source. */
const TRAIN_OVERHEAD_SECONDS = 0.009;
const FAT_SATURATION_SECONDS = 0.011;

/** Inversion of a slice with its spoiler, in s. Common practice, no source. */
const INVERSION_SECONDS = 0.03;

/** Most concatenations, and most slices of one, that are guessed. */
const MOST_CONCATENATIONS = 20;
const MOST_SLICES = 30;

/**
 * Concatenations and slices from one another.
 *
 * @param echoesFrom - Fields that the time from the excitation to the end of the last echo follows from.
 * @param echoesSeconds - That time in s.
 */
export function sliceRules(
  echoesFrom: readonly FieldName[],
  echoesSeconds: (...from: number[]) => number,
): readonly Rule[] {
  // Yes or no counts as true or false here, though rules between numbers are typed as such.
  const from: readonly FieldName[] = ['FatSaturation', ...echoesFrom];
  const trainSeconds = (fat: number, ...of: number[]): number =>
    echoesSeconds(...of) + TRAIN_OVERHEAD_SECONDS + (fat ? FAT_SATURATION_SECONDS : 0);
  const perGroup = (roomSeconds: number, [fat, ...of]: readonly number[]): number =>
    Math.floor(roomSeconds / trainSeconds(fat!, ...of));
  const groups = (slices: number, most: number): number | undefined => {
    const needed = Math.ceil(slices / most);
    return most >= 1 && needed <= MOST_CONCATENATIONS ? needed : undefined;
  };
  const betweenInversions = (tr: number, ti: number): number =>
    Math.min(ti, tr - ti) - INVERSION_SECONDS;
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
