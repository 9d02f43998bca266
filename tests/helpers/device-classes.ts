/** The classes of device that ship with the program. */
import { readFileSync } from 'node:fs';
import { parseDeviceClasses } from '../../src/kit/manifest/playback-classes.js';

export const deviceClasses = parseDeviceClasses(
  readFileSync(new URL('../../sounds-synth/playback/devices.yaml', import.meta.url), 'utf8'),
);
