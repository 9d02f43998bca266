/**
 * How many lines of phase encoding a scan plays.
 *
 * @module
 */
import { numberField, type Scan } from '../protocol/scan.js';

/** Images played one after another, and the lines of each. */
export interface ImageLines {
  readonly images: number;
  readonly lines: number;
}

/**
 * The lines that the scan's duration holds, in images of as many lines as its matrix says, as nearly
 * as whole numbers allow.
 *
 * @param lineSeconds - Length of one line, with all that is played in it, in s.
 */
export function imageLines(scan: Scan, lineSeconds: number): ImageLines {
  const matrix =
    (numberField(scan, 'AcquisitionMatrixPE') * numberField(scan, 'PartialFourier')) /
    numberField(scan, 'ParallelReductionFactorInPlane');
  const played = Math.max(1, Math.round(numberField(scan, 'Duration') / lineSeconds));
  const images = Math.max(1, Math.round(played / matrix));
  return { images, lines: Math.round(played / images) };
}
