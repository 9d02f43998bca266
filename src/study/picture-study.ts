/**
 * The described scans of a study with their pictures.
 *
 * @module
 */
import type { ThirdOctaveLevel } from '../levels/levels.js';
import { Meter } from '../levels/meter.js';
import { collect, type Sound } from '../signal/sound.js';
import type { PicturedScan } from './describe-page.js';
import type { PlayableStudy, StudyDescription } from './describe-study.js';
import { gradientPicture, spectrogramPicture, thirdOctavePicture } from './scan-pictures.js';

/** Sound in a picture, in s: a few repetitions of every family. */
const PICTURED_SECONDS = 6;

/** Draws every scan as it is heard in the bore; `onScan` is called after each. */
export function pictureStudy(
  { scans }: StudyDescription,
  study: PlayableStudy,
  onScan: () => void = () => undefined,
): readonly PicturedScan[] {
  return scans.map((scan, i) => {
    const { played } = study.scans[i]!;
    const sound = study.scanSound(scan.name, {
      durationSeconds: PICTURED_SECONDS,
      perspective: 'bore',
    });
    const pictured = {
      scan,
      gradients: gradientPicture(played.timeline.segments),
      spectrogram: spectrogramPicture(collect(sound), sound.sampleRateHz),
      thirdOctaves: thirdOctavePicture(thirdOctavesOf(sound)),
    };
    onScan();
    return pictured;
  });
}

function thirdOctavesOf(sound: Sound): readonly ThirdOctaveLevel[] {
  const meter = new Meter({ sampleRateHz: sound.sampleRateHz });
  for (const block of sound.blocks()) meter.push([block]);
  return meter.result().thirdOctaves;
}
