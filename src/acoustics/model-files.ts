/**
 * Response models and attenuation curves from their YAML files.
 *
 * @module
 */
import { parse } from 'yaml';
import { z } from 'zod';
import type { Protection } from './protection.js';
import type { ResponseModel } from './response.js';

const hertz = z.number().min(1).max(20_000);
const resonance = { hertz, q: z.number().min(0.1).max(200) };

const AXIS = z.strictObject({
  levelDb: z.number().min(-60).max(60),
  ring: z.strictObject(resonance),
  modes: z.array(z.strictObject({ ...resonance, levelDb: z.number().min(-60).max(60) })),
});

const RESPONSE = z.strictObject({
  name: z.string().min(1),
  note: z.string().min(1),
  fieldStrength: z.number().min(0.01).max(20),
  pascalPerMilliteslaPerMetre: z.number().min(1e-6).max(100),
  lowCutHz: z.number().min(10).max(200),
  highCutHz: z.number().min(1000).max(20_000),
  axes: z.strictObject({ x: AXIS, y: AXIS, z: AXIS }),
});

const PROTECTION = z.strictObject({
  name: z.string().min(1),
  note: z.string().min(1),
  octaves: z
    .array(z.strictObject({ hertz, attenuationDb: z.number().min(0).max(80) }))
    .min(2)
    .refine(octaves => octaves.every((o, i) => i === 0 || o.hertz > octaves[i - 1]!.hertz), {
      message: 'frequencies must rise',
    }),
  deratingDb: z.number().min(0).max(30),
  boneConductionLimitDb: z.number().min(20).max(80),
});

/** @throws {Error} The text is not a response model: a fault of ours for files that ship with the program. */
export const parseResponseModel = (text: string): ResponseModel => RESPONSE.parse(parse(text));

/** @throws {Error} The text is not an attenuation curve: a fault of ours, as above. */
export const parseProtection = (text: string): Protection => PROTECTION.parse(parse(text));
