/** Suites that need ffmpeg: skipped, saying so, where its binary does not come for the platform. */
import { describe } from 'vitest';
import type * as ffmpegHelper from './ffmpeg.js';

export type Ffmpeg = typeof ffmpegHelper;

const helper = await import('./ffmpeg.js').catch(() => undefined);

export function describeWithFfmpeg(title: string, tests: (ffmpeg: Ffmpeg) => void): void {
  if (helper !== undefined) {
    describe(title, () => {
      tests(helper);
    });
    return;
  }
  describe.skip(`${title} (skipped: no ffmpeg binary for ${process.platform} ${process.arch})`, () => {
    tests({} as Ffmpeg);
  });
}
