/** A real headless Chromium from the npm registry, as a family's browser. */
import chromium from '@sparticuz/chromium';
import { type Browser, chromium as driver } from 'playwright-core';

/** Sizes that pages are looked at: a small phone, a tablet, a laptop. */
export const SIZES = [
  { name: 'phone', width: 360, height: 640 },
  { name: 'tablet', width: 768, height: 1024 },
  { name: 'laptop', width: 1440, height: 900 },
] as const;

/** @param extra - Further command-line switches. */
export async function openBrowser(extra: readonly string[] = []): Promise<Browser> {
  return driver.launch({
    executablePath: await chromium.executablePath(),
    // Without a sandbox, since tests may run as root in a container.
    args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', ...extra],
    headless: true,
  });
}
