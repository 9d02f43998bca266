/**
 * Percentiles of a level over time, by counting it into classes of 0.05 dB.
 *
 * @module
 */
import { meanSquareToDbfs } from '../signal/decibels.js';

/** Width of a class in dB. */
const CLASS_DB = 0.05;

/** Levels below the lowest class count as silence; the highest is far above full scale. In dBFS. */
const LOWEST_DB = -160;
const HIGHEST_DB = 80;

/** Counts levels. */
export class LevelStatistics {
  private readonly counts = new Uint32Array(Math.round((HIGHEST_DB - LOWEST_DB) / CLASS_DB));
  private silent = 0;
  private total = 0;

  /** Takes the level at a moment, as mean square. */
  push(meanSquare: number): void {
    const index = Math.floor((meanSquareToDbfs(meanSquare) - LOWEST_DB) / CLASS_DB);
    this.total += 1;
    if (index < 0) this.silent += 1;
    else this.counts[Math.min(index, this.counts.length - 1)]! += 1;
  }

  /** The level that was exceeded for `percent` of the time, in dBFS; `-Infinity` for silence. */
  exceededDbfs(percent: number): number {
    const limit = (percent / 100) * this.total;
    let above = 0;
    for (let index = this.counts.length - 1; index >= 0; index--) {
      above += this.counts[index]!;
      if (above > limit || (above > 0 && above === this.total)) {
        return LOWEST_DB + (index + 0.5) * CLASS_DB;
      }
    }
    return -Infinity;
  }
}
