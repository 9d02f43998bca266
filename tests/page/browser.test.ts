/** The page in a real headless Chromium, opened from its file. */
import { mkdir, readFile, rename, rm } from 'node:fs/promises';
import path from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openBrowser } from '../helpers/browser.js';
import {
  openPage,
  setVolume,
  shownScreen,
  startStep,
  writeFamilyKit,
  writeFamilyPage,
  type FamilyPage,
} from '../helpers/family-page.js';
import { sampleContent, sampleManifest } from '../helpers/sample-kit.js';

let browser: Browser;
let file: string;

beforeAll(async () => {
  [browser, file] = await Promise.all([openBrowser(), writeFamilyKit(sampleContent())]);
});

afterAll(async () => {
  await browser.close();
  await rm(path.dirname(file), { recursive: true });
});

/** Everything a family's browser must never report. */
async function finish({ problems, close }: FamilyPage): Promise<void> {
  expect(problems).toEqual([]);
  await close();
}

describe('stopping and going on', () => {
  test('a cut by the device plays nothing by itself, and goes on softly from before the sound', async () => {
    const opened = await openPage(browser, file);
    const { page } = opened;
    await setVolume(page);
    await startStep(page);
    await page.waitForFunction(
      () => document.getElementById('sound-now')?.textContent === 'Star map',
    );
    // As an incoming call does.
    await page.evaluate(() => {
      for (const audio of audioElements()) audio.pause();
    });
    await page.waitForSelector('#screen-cut-off:not([hidden])');
    await page.click('[data-do="go-on"]');
    await page.clock.runFor(3000);
    await page.waitForSelector('#screen-play:not([hidden])');
    const resumed = await page.evaluate(() => {
      const [audio] = audioElements().filter(({ paused }) => !paused);
      return { currentTime: audio!.currentTime, volume: audio!.volume };
    });
    // In the sample, “Star map” begins at 2.5 s, after a pause that begins at 2 s.
    expect(resumed.currentTime).toBeGreaterThanOrEqual(2);
    expect(resumed.currentTime).toBeLessThan(2.5);
    expect(resumed.volume).toBeLessThan(0.5);
    await page.click('.stop >> visible=true');
    await page.click('[data-do="save"]');
    const kept = await page.evaluate(() => localStorage.getItem('softknock K7F3-M'));
    const { practices } = JSON.parse(kept!) as { practices: unknown[] };
    expect(practices.at(-1)).toMatchObject({ cut: true, stoppedBy: 'child' });
    await finish(opened);
  });

  test('Escape stops too', async () => {
    const opened = await openPage(browser, file);
    const { page } = opened;
    await setVolume(page);
    await startStep(page);
    await page.keyboard.press('Escape');
    expect(await shownScreen(page)).toBe('screen-how');
    expect(await page.isVisible('#stopped-note')).toBe(true);
    await finish(opened);
  });

  test('stop during the count-down plays nothing at all', async () => {
    const opened = await openPage(browser, file);
    const { page } = opened;
    await setVolume(page);
    await page.click('#to-ask');
    await page.click('[data-do="start"]');
    await page.waitForFunction(() => document.getElementById('count')?.textContent === '3');
    await page.clock.runFor(1000);
    await page.click('#screen-count .stop');
    expect(await shownScreen(page)).toBe('screen-not-today');
    await page.clock.runFor(4000);
    expect(await page.evaluate(() => audioElements().every(({ paused }) => paused))).toBe(true);
    await finish(opened);
  });

  test('pain stops all practice, also after a reload, until the study clears it', async () => {
    const opened = await openPage(browser, file);
    const { page } = opened;
    await setVolume(page);
    await startStep(page);
    await page.click('#screen-play .stop');
    await page.check('[value="pain"]');
    await page.click('[data-do="save"]');
    expect(await shownScreen(page)).toBe('screen-worry');
    await page.reload();
    expect(await shownScreen(page)).toBe('screen-worry');
    await page.click('nav [data-do="home"]');
    expect(await shownScreen(page)).toBe('screen-worry');
    await page.click('[data-do="cleared"]');
    expect(await shownScreen(page)).toBe('screen-volume');
    await finish(opened);
  });
});

test('a whole visit names what comes between the sounds, and says to lie still', async () => {
  const manifest = sampleManifest();
  const visit = {
    ...manifest.steps[0]!,
    change: 'visit',
    posture: 'lying-still',
    // The sample's first step: a lead of 1 s, a sound of 1 s, half a second of quiet.
    interludes: [
      { kind: 'table-motion', startSeconds: 0, endSeconds: 1, offsetDb: -28 },
      { kind: 'pre-scan', startSeconds: 2, endSeconds: 2.5, offsetDb: -28 },
    ],
  };
  const kit = await writeFamilyPage(
    path.dirname(file),
    sampleContent({ manifest: { ...manifest, steps: [visit, ...manifest.steps.slice(1)] } }),
  );
  const opened = await openPage(browser, kit);
  const { page } = opened;
  await setVolume(page);
  await page.click('#chooser summary');
  await page.click('[data-choose="1"]');
  expect(await page.textContent('#step-change')).toBe('New: the whole visit');
  await startStep(page, () => page.waitForSelector('#ask-lying:not([hidden])'));
  for (const [now, next] of [
    ['The table moves', 'First star'],
    ['First star', 'Clicks before a sound'],
    ['Clicks before a sound', 'the end'],
  ]) {
    await page.waitForFunction(
      name => document.getElementById('sound-now')?.textContent === name,
      now,
    );
    expect(await page.textContent('#sound-next')).toBe(next);
  }
  await finish(opened);
  await writeFamilyPage(path.dirname(file), sampleContent());
});

describe('days and memory', () => {
  test('later steps are closed and say when they open; a lower one can be chosen', async () => {
    const opened = await openPage(browser, file);
    const { page } = opened;
    await setVolume(page);
    await page.click('#chooser summary');
    const buttons = page.locator('#step-buttons button');
    expect(await buttons.count()).toBe(12);
    expect(await page.isDisabled('[data-choose="4"]')).toBe(true);
    expect(await page.textContent('[data-choose="4"]')).toContain('opens Friday 4 June');
    await page.click('[data-choose="1"]');
    expect(await page.textContent('#step-title')).toBe('Step 1 of 12');
    await finish(opened);
  });

  test.each([
    ['before the first day', '2027-05-20T10:00:00', 0, 'starts on Tuesday 1 June', 'Step 1 of 12'],
    ['years before', '2024-02-29T10:00:00', 0, 'starts on Tuesday 1 June', 'Step 1 of 12'],
    ['first opened late', '2027-06-10T10:00:00', 0, 'Nothing is noted here yet', 'Step 1 of 12'],
    ['on a day off', '2027-06-13T10:00:00', 12, 'day off', 'Step 12 of 12'],
    // A clock that jumped to another year opens nothing that is louder than what was practised.
    ['after the scan', '2031-01-01T10:00:00', 2, 'The scan day is over', 'Step 1 of 12'],
  ])('%s a step can be played, and the page says why', async (_, at, practised, words, step) => {
    const opened = await openPage(browser, file, { at, practised });
    const { page } = opened;
    await setVolume(page);
    expect(await page.textContent('#day-note')).toContain(words);
    expect(await page.textContent('#step-title')).toBe(step);
    await startStep(page);
    await page.click('#screen-play .stop');
    expect(await shownScreen(page)).toBe('screen-how');
    await finish(opened);
  });

  test('a kit whose practice was stopped says so and offers nothing to play', async () => {
    const stopped = await writeFamilyPage(
      await mkdirBeside(file, 'stopped'),
      sampleContent({ manifest: sampleManifest({ sessions: [] }) }),
    );
    const opened = await openPage(browser, stopped);
    const { page } = opened;
    // At once, with whom to call: nobody sets a volume for nothing.
    expect(await shownScreen(page)).toBe('screen-stopped');
    expect(await page.textContent('#screen-stopped')).toContain('nothing to practise now');
    expect(await page.locator('#screen-stopped a[href^="tel:"]').count()).toBe(1);
    await page.evaluate(() => {
      document.querySelector<HTMLElement>('[data-go="today"]')!.click();
    });
    expect(await page.textContent('#day-note')).toContain('nothing to practise now');
    expect(await page.isVisible('#to-ask')).toBe(false);
    await opened.close();
  });

  test('a clock that jumps in the middle of a practice changes neither its day nor what is open', async () => {
    const opened = await openPage(browser, file);
    const { page } = opened;
    await setVolume(page);
    await startStep(page);
    await page.clock.setSystemTime(new Date('2031-01-01T00:00:00'));
    await page.click('#screen-play .stop');
    await page.click('[data-do="save"]');
    const kept = await page.evaluate(() => localStorage.getItem('softknock K7F3-M'));
    const { practices } = JSON.parse(kept!) as { practices: { date: string }[] };
    expect(practices.at(-1)!.date).toBe('2027-06-03');
    await page.click('#screen-done [data-go="today"]');
    // The child said stop at step 3: whatever the clock says, one step lower comes next.
    expect(await page.textContent('#step-title')).toBe('Step 2 of 12');
    await page.clock.setSystemTime(new Date('1999-01-01T00:00:00'));
    await page.click('nav [data-do="home"]');
    expect(await page.textContent('#step-title')).toBe('Step 1 of 12');
    expect(await page.isDisabled('[data-choose="2"]')).toBe(true);
    await finish(opened);
  });

  test('without storage everything works, and the page says what it forgets', async () => {
    const opened = await openPage(browser, file, { blockStorage: true });
    const { page } = opened;
    await setVolume(page);
    await startStep(page);
    await page.click('#screen-play .stop');
    await page.click('[data-do="save"]');
    expect(await page.isVisible('#done-keep')).toBe(true);
    await page.click('#screen-done [data-go="log"]');
    expect(await page.isVisible('#log-lasting')).toBe(true);
    expect(await page.locator('#log-rows tr').count()).toBe(1);
    await finish(opened);
  });

  test('after a reload the volume is only checked, and two kits in one browser keep apart', async () => {
    const other = await writeFamilyPage(
      await mkdirBeside(file, 'other'),
      sampleContent({ manifest: sampleManifest({ kit: 'OTHER-1' }) }),
    );
    const opened = await openPage(browser, file);
    const { page } = opened;
    await setVolume(page);
    await page.reload();
    expect(await shownScreen(page)).toBe('screen-volume');
    expect(await page.textContent('#title-volume')).toBe('Check the volume');
    const keys = await page.evaluate(() => Object.keys(localStorage));
    expect(keys).toEqual(['softknock K7F3-M']);
    await page.goto(`file://${other}`);
    expect(await shownScreen(page)).not.toBe('screen-volume');
    await opened.close();
  });
});

describe('what can be wrong around the page', () => {
  test('a missing file is named, with what to do, and can be tried again', async () => {
    const content = sampleContent();
    const kit = await writeFamilyKit(content);
    const step = path.join(path.dirname(kit), 'steps/step-03.mp3');
    await rename(step, `${step}.away`);
    const opened = await openPage(browser, kit);
    const { page } = opened;
    await setVolume(page);
    await page.waitForSelector('#screen-missing:not([hidden])');
    expect(await page.textContent('#missing-file')).toContain('steps/step-03.mp3');
    expect(await page.isVisible('#screen-missing .contact')).toBe(true);
    await rename(`${step}.away`, step);
    await page.click('[data-do="try-again"]');
    expect(await shownScreen(page)).toBe('screen-today');
    await opened.close();
    await rm(path.dirname(kit), { recursive: true });
  });

  test('a preview inside another program is told to save first', async () => {
    const page = await browser.newPage();
    await page.setContent(await readFile(file, 'utf8'));
    expect(await page.isVisible('#save-first')).toBe(true);
    await page.close();
  });

  test('a viewer without scripts shows the guide and what to do', async () => {
    const context = await browser.newContext({ javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(`file://${file}`);
    const text = await page.innerText('body');
    expect(text).toContain('This page cannot run here.');
    expect(text).toContain('Ask us first');
    await context.close();
  });

  test('hostile names stay text', async () => {
    const hostile = `"><script>document.title='hacked'</script><img src=x onerror=alert(1)>' 🌙 \u202eabc\nnext`;
    const manifest = sampleManifest({ study: hostile.repeat(8) });
    const content = sampleContent({
      manifest: {
        ...manifest,
        steps: manifest.steps.map(step => ({
          ...step,
          sounds: step.sounds.map(sound => ({ ...sound, plainName: hostile })),
        })),
      },
      contact: { name: hostile, phone: hostile, email: hostile },
      guideNote: hostile,
    });
    const folder = path.dirname(file);
    const opened = await openPage(
      browser,
      await writeFamilyPage(await mkdirBeside(file, '.'), { ...content, language: 'en' }),
    );
    const { page } = opened;
    expect(await page.title()).toBe('Getting used to the scanner sounds');
    expect(await page.textContent('.study')).toContain('<script>');
    await setVolume(page);
    expect(await page.textContent('#step-sounds')).toContain('onerror');
    expect(await page.locator('img').count()).toBe(0);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
      360,
    );
    await finish(opened);
    await writeFamilyPage(folder, sampleContent());
  });
});

async function mkdirBeside(kit: string, name: string): Promise<string> {
  const folder = path.join(path.dirname(kit), name);
  await mkdir(folder, { recursive: true });
  return folder;
}
