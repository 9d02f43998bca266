/**
 * What every kit is made with: the plan's constants, the words, the parts of the page, the
 * typefaces.
 *
 * @module
 */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import path from 'node:path';
import { type DocumentFonts, FONT_FILES } from '../kit/paper/document-fonts.js';
import { PAGE_SCRIPTS, PAGE_STYLE, type PageParts } from '../kit/screens/page.js';
import { parseDeviceClasses } from '../kit/manifest/playback-classes.js';
import { parseTexts, type Texts } from '../kit/words/texts.js';
import type { DeviceClass } from '../levels/playback.js';
import { parsePlanConstants, type PlanConstants } from '../protocol/plan-constants.js';
import type { Language } from '../protocol/study-file.js';
import { parseYaml } from '../protocol/yaml-document.js';
import { LIBRARY_FOLDER } from './library.js';

export interface KitMaterial {
  readonly constants: PlanConstants;
  readonly devices: readonly DeviceClass[];
  readonly texts: Texts;
  readonly page: PageParts;
}

/** @throws {Error} A file is missing or wrong: a fault of ours. */
export async function loadKitMaterial(language: Language): Promise<KitMaterial> {
  const [constants, devices, texts, style, scripts, fonts] = await Promise.all([
    readLibrary('plans/defaults.yaml').then(parsePlanConstants),
    readLibrary('playback/devices.yaml').then(parseDeviceClasses),
    readTexts(language),
    readLibrary(`page/${PAGE_STYLE}`),
    Promise.all(PAGE_SCRIPTS.map(name => readLibrary(`page/${name}`))),
    readFonts(),
  ]);
  return { constants, devices, texts, page: { style, scripts, fonts } };
}

async function readTexts(language: Language): Promise<Texts> {
  const file = `texts/${language}.yaml`;
  const { value } = parseYaml(await readLibrary(file), file, 'BAD_STUDY');
  return parseTexts(value, file);
}

async function readFonts(): Promise<DocumentFonts> {
  const { resolve } = createRequire(import.meta.url);
  return Promise.all(
    FONT_FILES.map(async ({ name, regular, bold }) => ({
      name,
      regular: await readFile(resolve(regular)),
      bold: await readFile(resolve(bold)),
    })),
  );
}

const readLibrary = (file: string): Promise<string> =>
  readFile(path.join(LIBRARY_FOLDER, ...file.split('/')), 'utf8');
