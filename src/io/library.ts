/**
 * The data that ship with the program: typical scans, response models, attenuation curves.
 *
 * @module
 */
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import { parseProtection, parseResponseModel } from '../acoustics/model-files.js';
import type { Protection } from '../acoustics/protection.js';
import { modelResponse, type ScannerResponse } from '../acoustics/response.js';
import type { TypicalScan } from '../protocol/resolve.js';
import { SCAN_TYPES, type ScanType } from '../protocol/scan.js';
import { parseTypicalScan } from '../protocol/typical-scan.js';

/** Where the data lie, next to `dist/`. */
export const LIBRARY_FOLDER = path.resolve(import.meta.dirname, '../../sounds-synth');

export interface Library {
  readonly typicalScans: Readonly<Record<ScanType, TypicalScan>>;
  /** By name. */
  readonly responses: ReadonlyMap<string, ScannerResponse>;
  /** By name. */
  readonly protections: ReadonlyMap<string, Protection>;
}

/** @throws {Error} A file is missing or wrong: a fault of ours. */
export async function loadLibrary(): Promise<Library> {
  const [scans, responses, protections] = await Promise.all([
    readAll('scans', parseTypicalScan),
    readAll('responses', parseResponseModel),
    readAll('protection', parseProtection),
  ]);
  const byType = new Map(scans.map(scan => [scan.type, scan]));
  const missing = SCAN_TYPES.filter(type => !byType.has(type));
  if (missing.length > 0) throw new Error(`no typical values for: ${missing.join(', ')}`);
  return {
    typicalScans: Object.fromEntries(byType) as Record<ScanType, TypicalScan>,
    responses: new Map(responses.map(model => [model.name, modelResponse(model)])),
    protections: new Map(protections.map(protection => [protection.name, protection])),
  };
}

async function readAll<T>(folder: string, parse: (text: string) => T): Promise<T[]> {
  const directory = path.join(LIBRARY_FOLDER, folder);
  const files = (await readdir(directory)).filter(file => file.endsWith('.yaml')).sort();
  return Promise.all(
    files.map(async file => parse(await readFile(path.join(directory, file), 'utf8'))),
  );
}
