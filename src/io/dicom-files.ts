/**
 * DICOM files from the disk: of each, only the header is read, a few at a time.
 *
 * Names of files and folders often hold the names of people, so files in a folder are spoken of by their
 * place in the order of their names.
 *
 * @module
 */
import { readDicomHeader } from '../formats/dicom/read-header.js';
import { isPulseqText } from '../formats/pulseq/is-pulseq-text.js';
import { DicomCollection } from '../import/dicom-series.js';
import { filesOfDicom, whyNoScan } from '../import/import-dicom.js';
import type { SidecarFile, SkippedFile } from '../import/import-sidecars.js';
import { readHeads } from './read-heads.js';

/** What was found among files. */
export interface DicomFinds {
  /** How many are DICOM files, usable or not. */
  readonly found: number;
  /** Paths of Pulseq files. */
  readonly sequences: readonly string[];
  /** Paths of all others. */
  readonly others: readonly string[];
}

/** Why some files of a folder are no scans. */
interface Refusal {
  count: number;
  /** The first of them, counted from 1. */
  readonly first: number;
}

export class DicomFiles {
  private readonly collection = new DicomCollection();
  /** Given path by series, and whether it is a folder. */
  private readonly places = new Map<
    string,
    { readonly given: string; readonly isFolder: boolean }
  >();
  private readonly skipped: SkippedFile[] = [];

  /** Adds a file that was given by its own path. */
  async addFile(given: string): Promise<DicomFinds> {
    return this.add(given, [given], false, (_, why) => {
      this.skipped.push({ file: given, why });
    });
  }

  /** Adds files of a folder. */
  async addFolder(given: string, files: readonly string[]): Promise<DicomFinds> {
    const refusals = new Map<string, Refusal>();
    const refuse = (index: number, why: string): void => {
      const refusal = refusals.get(why) ?? { count: 0, first: index + 1 };
      refusal.count++;
      refusals.set(why, refusal);
    };
    const finds = await this.add(given, files, true, refuse);
    if (finds.found > 0 && finds.others.length > 0) {
      const first = files.indexOf(finds.others[0]!) + 1;
      refusals.set('neither a DICOM nor a Pulseq file', { count: finds.others.length, first });
    }
    for (const [why, { count, first }] of refusals) {
      const which =
        count === 1
          ? `file ${first} of ${files.length} in the order of their names`
          : `${count} of ${files.length} files, the first number ${first} in the order of their names`;
      this.skipped.push({ file: given, why: `${which}: ${why}` });
    }
    return finds;
  }

  /** The files to import, and what was skipped. */
  result(): {
    readonly files: readonly SidecarFile[];
    readonly skipped: readonly SkippedFile[];
    readonly notes: readonly string[];
  } {
    const { series } = this.collection;
    const shown = series.map(one => {
      const { given, isFolder } = this.places.get(one.header.series)!;
      const number = one.header.values.number('SeriesNumber');
      const name = number === undefined ? 'a series' : `series ${number}`;
      const count = `${one.fileCount} ${one.fileCount === 1 ? 'file' : 'files'}`;
      const isOne = !isFolder && one.fileCount === 1;
      return { series: one, shown: isOne ? given : `${given} (${name}, ${count})` };
    });
    const cut = series.filter(({ header }) => !header.isWhole).length;
    const notes =
      cut === 0
        ? []
        : [
            `The DICOM headers of ${cut} series are cut off or damaged: what comes before that was read.`,
          ];
    return { files: filesOfDicom(shown), skipped: this.skipped, notes };
  }

  private async add(
    given: string,
    files: readonly string[],
    isFolder: boolean,
    refuse: (index: number, why: string) => void,
  ): Promise<DicomFinds> {
    const sequences: string[] = [];
    const others: string[] = [];
    let found = 0;
    const isKnown = (series: string): boolean => this.collection.has(series);
    for await (const { index, head } of readHeads(files)) {
      let part = head;
      if ('why' in part) {
        refuse(index, part.why);
        continue;
      }
      let read = readDicomHeader(part.bytes, part.isWhole, isKnown);
      while (read.kind === 'more') {
        part = await part.more();
        read = readDicomHeader(part.bytes, part.isWhole, isKnown);
      }
      if (read.kind !== 'header') {
        (isPulseqText(part.bytes) ? sequences : others).push(files[index]!);
        continue;
      }
      found++;
      const why = whyNoScan(read.header);
      if (why === undefined) {
        const { series } = read.header;
        if (!this.places.has(series)) this.places.set(series, { given, isFolder });
        this.collection.add(read.header);
      } else refuse(index, why);
    }
    return { found, sequences, others };
  }
}
