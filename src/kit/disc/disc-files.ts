/**
 * The files of a kit's discs, and what the manifest says of them.
 *
 * @module
 */
import { formatCueSheet } from '../../formats/cue-sheet.js';
import { wavBytes } from '../../formats/wav-writer.js';
import type { Sound } from '../../signal/sound.js';
import { discSheet, discSound, layoutDiscs } from './disc.js';

/** The sound of a step. */
export interface DiscSound {
  readonly number: number;
  readonly sound: Sound;
}

/** What lies on the discs of a kit. */
export interface DiscInput {
  /** Title of all discs. */
  readonly title: string;
  /** Title of a track: of a step by its index, of the voice reference for null. */
  readonly titleOf: (step: number | null) => string;
  /** Fixes the dither. */
  readonly seed: string;
  readonly voice: Sound;
  /** Sounds of the steps. */
  readonly steps: readonly DiscSound[];
}

/** A disc: its image in pieces, its sheet, and where its tracks lie. */
export interface DiscFiles {
  readonly file: string;
  readonly image: Iterable<Uint8Array>;
  readonly cueSheet: string;
  readonly sheet: string;
  readonly frames: number;
  readonly tracks: readonly {
    readonly step: number | null;
    readonly startFrame: number;
    readonly frames: number;
  }[];
}

/** The discs of a kit; images are made as they are read. */
export function discFiles({ title, titleOf, seed, voice, steps }: DiscInput): readonly DiscFiles[] {
  const layouts = layoutDiscs(
    voice.length,
    steps.map(({ sound }) => sound.length),
  );
  return layouts.map((layout, i) => {
    const name = `disc-${i + 1}`;
    const sound = discSound(
      layout,
      voice,
      steps.map(step => step.sound),
    );
    const names = { title: `${title} ${i + 1}/${layouts.length}`, file: `${name}.wav`, titleOf };
    return {
      file: `disc/${name}.wav`,
      image: wavBytes(sound, { channels: 2, bits: 16, seed: `${seed} ${name}` }),
      cueSheet: `disc/${name}.cue`,
      sheet: formatCueSheet(discSheet(layout, names)),
      frames: layout.frames,
      tracks: layout.tracks.map(({ sound, startFrame, frames }) => ({
        step: sound === null ? null : steps[sound]!.number,
        startFrame,
        frames,
      })),
    };
  });
}
