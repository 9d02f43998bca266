/** That the page really sounds, and really falls silent: measured in the browser from the decoded audio. */
import { rm } from 'node:fs/promises';
import path from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openBrowser } from '../helpers/browser.js';
import { openPage, setVolume, startStep, writeFamilyKit } from '../helpers/family-page.js';
import { sampleContent } from '../helpers/sample-kit.js';

/** What the page promises: quiet within this long after pressing stop. */
const QUIET_WITHIN_MS = 300;

/** Level of the sample's tone: amplitude 0.05, so 0.05 / sqrt 2 as RMS. */
const TONE_RMS = 0.05 / Math.SQRT2;

let browser: Browser;
let file: string;

beforeAll(async () => {
  // A browser takes each file for another site's and lets no page measure it; for this test alone,
  // files are of one site.
  browser = await openBrowser(['--allow-file-access-from-files']);
  file = await writeFamilyKit(sampleContent());
});

afterAll(async () => {
  await browser.close();
  await rm(path.dirname(file), { recursive: true });
});

test('a step sounds at the level of its file, and stop is quiet within 300 ms', async () => {
  const opened = await openPage(browser, file);
  const { page, problems } = opened;
  await setVolume(page);
  await page.evaluate(watchLevel);
  await startStep(page);
  await page.waitForFunction(
    () => document.getElementById('sound-now')?.textContent === 'Star map',
  );
  await page.waitForFunction(rms => levels().at(-1)!.rms > 0.9 * rms, TONE_RMS);
  const heard = await page.evaluate(() => levels().at(-1)!.rms);
  expect(heard).toBeGreaterThan(0.9 * TONE_RMS);
  expect(heard).toBeLessThan(1.1 * TONE_RMS);

  const quietAfterMs = await page.evaluate(
    () =>
      new Promise<number>(resolve => {
        const pressedAt = levels().at(-1)!.at;
        document.querySelector<HTMLElement>('#screen-play .stop')!.click();
        const look = (): void => {
          const later = levels().filter(({ at }) => at > pressedAt);
          const loud = later.filter(({ rms }) => rms > 1e-4);
          const last = later.at(-1);
          // Quiet once nothing was heard for 400 ms.
          if (last !== undefined && last.at - (loud.at(-1)?.at ?? pressedAt) > 400) {
            resolve((loud.at(-1)?.at ?? pressedAt) - pressedAt);
          } else realTimeout(look, 50);
        };
        look();
      }),
  );
  expect(quietAfterMs).toBeLessThan(QUIET_WITHIN_MS);
  // Faded, not cut: something is heard in between.
  expect(quietAfterMs).toBeGreaterThan(20);
  expect(problems).toEqual([]);
  await opened.close();
});

/** Notes the RMS of what the page plays, every few milliseconds, on the audio clock. */
function watchLevel(): void {
  const context = new AudioContext();
  const analyser = context.createAnalyser();
  analyser.fftSize = 1024;
  analyser.connect(context.destination);
  for (const audio of audioElements()) {
    // The others only look whether a file is there.
    if (audio.preload === 'auto') context.createMediaElementSource(audio).connect(analyser);
  }
  const watched: { at: number; rms: number }[] = [];
  const samples = new Float32Array(analyser.fftSize);
  const note = (): void => {
    analyser.getFloatTimeDomainData(samples);
    const sum = samples.reduce((total, sample) => total + sample * sample, 0);
    watched.push({ at: context.currentTime * 1000, rms: Math.sqrt(sum / samples.length) });
    realTimeout(note, 5);
  };
  note();
  Object.assign(window, { levels: () => watched });
}

declare global {
  /** In the page, after `watchLevel`. */
  function levels(): { at: number; rms: number }[];
}
