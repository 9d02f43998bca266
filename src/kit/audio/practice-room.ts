/**
 * The whole visit as staff play it in the lab's own practice room, at the levels of the kit.
 *
 * @module
 */
import { joinBytes } from '../../formats/join-bytes.js';
import { practiceRoomStep } from '../../plan/ladder.js';
import type { KitTools } from '../build.js';
import { codingOf } from '../build.js';
import type { KitInputs } from '../kit-inputs.js';
import { LevelledSounds } from './levelled-sounds.js';
import { StepMaker } from './make-step.js';
import type { KitPlan } from '../plan-kit.js';
import { stepTag } from '../tags.js';

/** An MP3 file with its tag. */
export async function practiceRoom(
  inputs: KitInputs,
  kitPlan: KitPlan,
  tools: Pick<KitTools, 'encodeMp3' | 'breathe'>,
): Promise<Uint8Array> {
  const { study, texts } = inputs;
  const { code, constants, ladder, limits, voiceOffsetDb } = kitPlan;
  const step = practiceRoomStep(ladder, constants.practiceRoomMinutes);
  const levelled = new LevelledSounds(study.sound, limits, constants.softness, voiceOffsetDb);
  const { bitrateKbps } = codingOf(inputs, kitPlan);
  const maker = new StepMaker({ study, levelled, constants, bitrateKbps }, tools);
  const { mp3 } = await maker.make(step);
  return joinBytes([stepTag(1, 1, code, texts), mp3]);
}
