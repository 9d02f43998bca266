/**
 * Classes of device from `sounds-synth/playback/devices.yaml`.
 *
 * @module
 */
import { parse } from 'yaml';
import { z } from 'zod';
import type { DeviceClass } from '../../levels/playback.js';

/** A number with its source beside it; only the number goes on. */
const sourced = (min: number, max: number) =>
  z
    .strictObject({ value: z.number().min(min).max(max), source: z.string().min(3) })
    .transform(({ value }) => value);

const CLASSES = z.strictObject({
  classes: z
    .array(
      z
        .strictObject({
          name: z.string().regex(/^[a-z]+(-[a-z]+)*$/),
          label: z.string().min(3),
          lowEndHertz: sourced(10, 2000),
          fullVolume: z
            .strictObject({ typicalDba: sourced(60, 150), worstDba: sourced(60, 150) })
            .refine(({ typicalDba, worstDba }) => worstDba >= typicalDba, {
              message: 'the worst case must be at least as loud as the typical one',
            }),
        })
        .transform(({ name, label, lowEndHertz, fullVolume }): DeviceClass => {
          return { name, label, lowEndHz: lowEndHertz, fullVolume };
        }),
    )
    .min(1)
    .refine(classes => new Set(classes.map(({ name }) => name)).size === classes.length, {
      message: 'each name once',
    }),
});

/** @throws {Error} The text is not as it must be: a fault of ours, since the file ships with the program. */
export const parseDeviceClasses = (text: string): readonly DeviceClass[] =>
  CLASSES.parse(parse(text)).classes;
