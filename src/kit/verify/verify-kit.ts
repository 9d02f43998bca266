/**
 * Whether a kit is what it says it is: all files, unchanged, at the levels of its manifest, within
 * its limits, and without marks of a person.
 *
 * @module
 */
import { type Problem, UserError } from '../../errors.js';
import { openMp3 } from '../../formats/mp3-decoder.js';
import {
  ceilingInForce,
  ceilingOverSleep,
  type OffsetLimits,
  offsetLimits,
  VOICE_DBA,
} from '../../levels/limits.js';
import { voiceLevel } from '../../levels/measured-device.js';
import type { LevelRange } from '../../levels/scan-levels.js';
import { mostMinutes, tooManyMinutes } from '../../plan/minutes.js';
import { LARGEST_RISE_DB } from '../../protocol/plan-ranges.js';
import type { KitTools } from '../build.js';
import { Findings, LEVEL_TOLERANCE_DB } from './findings.js';
import { playedParts } from '../audio/heard-parts.js';
import { isKitCode } from '../kit-code.js';
import type { Manifest, ManifestDisc, ManifestStep } from '../manifest/manifest.js';
import { listenerOf, raisedNote } from '../plan-kit.js';
import { readManifest } from '../manifest/read-manifest.js';
import { type MeasuredFile, measureAudio, type Stretch } from './verify-audio.js';
import { type DiscTools, verifyDisc } from './verify-disc.js';
import { checkFiles, type KitReader, readFile } from './verify-files.js';
import { historyProblem } from './verify-history.js';
import { checkStatements } from './verify-statements.js';
import { checkGates, checkStarts, type GatedLevels } from './verify-gates.js';

export interface VerifyTools {
  readonly sha256Of: KitTools['sha256Of'];
  /** Words that must occur nowhere. */
  readonly absent: readonly string[];
  /** Called for each audio file that was measured. */
  readonly onMeasured?: () => void;
}

export interface MeasuredStep extends GatedLevels {
  readonly number: number;
  readonly sounds: readonly {
    readonly scan: string;
    readonly offsetDb: number;
    readonly measuredOffsetDb: number;
    readonly measuredLafmaxOffsetDb: number;
  }[];
}

export interface Verification {
  readonly kit: string;
  readonly manifest: Manifest | null;
  /** Measured from the file; null when it could not be. */
  readonly voiceLaeqDbfs: number | null;
  readonly steps: readonly MeasuredStep[];
  /** What is wrong. */
  readonly problems: readonly Problem[];
  /** What is wrong and could hurt a listener. */
  readonly unsafe: readonly Problem[];
  /** What is as it may be. */
  readonly notes: readonly string[];
}

/** A decoded file is as long as its manifest says within this, in s: two frames of an MP3. */
const DURATION_TOLERANCE_SECONDS = 0.06;

/** Checks a kit; finds everything that is wrong. */
export async function verifyKit(kit: KitReader, tools: VerifyTools): Promise<Verification> {
  return new Check(kit, tools).run();
}

class Check {
  private readonly findings = new Findings();
  private readonly notes: string[] = [];
  private voiceLaeqDbfs: number | null = null;
  private readonly steps: MeasuredStep[] = [];

  constructor(
    private readonly kit: KitReader,
    private readonly tools: VerifyTools,
  ) {}

  async run(): Promise<Verification> {
    const { absent, sha256Of } = this.tools;
    const { findings, notes } = this;
    const sums = checkFiles(this.kit, { absent, sha256Of, findings, notes });
    const manifest = this.manifest();
    if (manifest !== null) {
      this.checkMinutes(manifest);
      const wrong = historyProblem(manifest);
      if (wrong !== null) {
        this.findings.report(
          'kit.json history',
          wrong,
          'the plan that the noted sessions lead to by its rules',
          'Take the kit that softknock revise wrote.',
        );
      }
      this.checkSums(manifest, sums);
      await this.checkAudio(manifest);
    }
    return {
      kit: manifest?.kit ?? this.kit.name,
      manifest,
      voiceLaeqDbfs: this.voiceLaeqDbfs,
      steps: this.steps,
      problems: this.findings.problems,
      unsafe: this.findings.unsafe,
      notes: this.notes,
    };
  }

  /** What the manifest says of its audio files must hold too: it goes where SHA256SUMS may not. */
  private checkSums(
    { voiceReference, steps, discs }: Manifest,
    sums: ReadonlyMap<string, string>,
  ): void {
    for (const { file, sha256 } of [voiceReference, ...steps, ...discs]) {
      const sum = sums.get(file);
      if (sum !== undefined && sum !== sha256) {
        this.findings.report(file, 'not as it was written', 'the file of kit.json');
      }
    }
  }

  private manifest(): Manifest | null {
    if (!this.kit.files.includes('kit.json')) return null;
    try {
      const manifest = readManifest(new TextDecoder().decode(readFile(this.kit, 'kit.json')));
      if (!isKitCode(manifest.kit)) {
        this.findings.report('kit.json kit', `"${manifest.kit}"`, 'a kit code without a mistake');
      }
      return manifest;
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      this.findings.report('kit.json', error.message, 'the manifest of a kit');
      return null;
    }
  }

  private checkMinutes({ steps, sessions }: Manifest): void {
    const seconds = new Map(
      steps.map(step => [
        step.number,
        playedParts(step).reduce(
          (sum, { startSeconds, endSeconds }) => sum + endSeconds - startSeconds,
          0,
        ),
      ]),
    );
    const unknown = sessions.find(({ step }) => !seconds.has(step));
    if (unknown !== undefined) {
      this.findings.report('kit.json sessions', `step ${unknown.step}`, 'steps of the kit');
    }
    const minutes = mostMinutes(sessions, step => seconds.get(step) ?? 0);
    this.findings.unsafe.push(...tooManyMinutes(minutes, 'kit.json sessions'));
  }

  private async checkAudio(manifest: Manifest): Promise<void> {
    const { limits, voice: voiceDba } = this.limits(manifest);
    checkStatements(manifest, voiceDba, this.findings);
    const { expected } = voiceDba;
    const { voiceReference } = manifest;
    const voice = await this.measure(voiceReference.file, [
      { startSeconds: 0, endSeconds: voiceReference.durationSeconds },
    ]);
    if (voice === undefined) return;
    const reference = voice.stretches[0]!.laeqDbfs;
    this.voiceLaeqDbfs = reference;
    this.findings.compare(voiceReference.file, 'LAeq', reference, voiceReference.laeqDbfs, 'dBFS');
    // As loud as talk, however low the ceiling is: it is what all levels are measured by.
    const talk = offsetLimits(ceilingInForce(undefined, 'child', 'kit.json'), 'child');
    checkGates(voiceReference.file, voice, reference, talk, this.findings, expected);
    let before: number | undefined;
    for (const step of manifest.steps) {
      const loudest = await this.checkStep(step, reference, limits, expected);
      if (loudest === undefined) continue;
      if (before !== undefined && loudest - before > LARGEST_RISE_DB + LEVEL_TOLERANCE_DB) {
        this.findings.refuse(
          step.file,
          `${(loudest - before).toFixed(1)} dB louder than the step before`,
          `at most ${LARGEST_RISE_DB} dB`,
        );
      }
      before = loudest;
    }
    for (const disc of manifest.discs) {
      await this.checkDisc(disc, manifest, {
        limits,
        referenceDbfs: reference,
        voiceDba: expected,
      });
    }
  }

  private async checkDisc(
    disc: ManifestDisc,
    manifest: Manifest,
    levels: Omit<DiscTools, 'findings'>,
  ): Promise<void> {
    // What is missing is reported with the checksums.
    if ([disc.file, disc.cueSheet].some(file => !this.kit.files.includes(file))) return;
    const image = this.kit.open(disc.file);
    try {
      const sheet = new TextDecoder().decode(readFile(this.kit, disc.cueSheet));
      const { findings } = this;
      await verifyDisc(disc, manifest, { image, sheet }, { ...levels, findings });
      this.tools.onMeasured?.();
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      this.findings.problems.push(...error.problems);
    } finally {
      image.close();
    }
  }

  /** Measures one step; its loudest sound in dB re the voice reference. */
  private async checkStep(
    step: ManifestStep,
    reference: number,
    limits: OffsetLimits,
    voiceDba: number,
  ): Promise<number | undefined> {
    const { file, voice } = step;
    const parts = playedParts(step);
    const measured = await this.measure(
      file,
      [voice, ...parts].map(({ startSeconds, endSeconds }) => ({
        startSeconds: startSeconds,
        endSeconds: endSeconds,
      })),
    );
    if (measured === undefined) return undefined;
    const [voiceLevels, ...partLevels] = measured.stretches;
    this.findings.compare(
      file,
      'voice reference',
      voiceLevels!.laeqDbfs,
      reference + voice.offsetDb,
      'dBFS',
    );
    if (Math.abs(measured.durationSeconds - step.durationSeconds) > DURATION_TOLERANCE_SECONDS) {
      this.findings.report(
        file,
        `${measured.durationSeconds.toFixed(2)} s long`,
        `${step.durationSeconds} s`,
      );
    }
    const sounds = parts.flatMap(({ what, offsetDb, lafmaxOffsetDb }, i) => {
      const { laeqDbfs, lafmaxDbfs } = partLevels[i]!;
      const [where, measuredOffsetDb] = [`${file} ${what}`, laeqDbfs - reference];
      this.findings.compare(where, 'level', measuredOffsetDb, offsetDb, 'dB re voice');
      this.findings.limit(where, 'LAeq', measuredOffsetDb, limits.laeqDb);
      if (lafmaxOffsetDb === null) return [];
      const measuredLafmaxOffsetDb = lafmaxDbfs - reference;
      this.findings.compare(
        where,
        'FAST maximum',
        measuredLafmaxOffsetDb,
        lafmaxOffsetDb,
        'dB re voice',
      );
      return [{ scan: what, offsetDb, measuredOffsetDb, measuredLafmaxOffsetDb }];
    });
    this.checkBetween(step, measured.lafmaxBetweenDbfs - reference);
    const gated = checkGates(file, measured, reference, limits, this.findings, voiceDba);
    checkStarts(step, measured, reference, this.findings, voiceDba);
    this.steps.push({ number: step.number, ...gated, sounds });
    return Math.max(...sounds.map(({ measuredOffsetDb }) => measuredOffsetDb));
  }

  /** Beside what is listed there are cues and the voice's ends, which are never louder than talk. */
  private checkBetween({ file, sounds, voice }: ManifestStep, lafmaxOffsetDb: number): void {
    const loudestDb = Math.max(...sounds.map(({ offsetDb }) => offsetDb));
    const mostDb = Math.max(voice.offsetDb, Math.min(0, loudestDb));
    if (lafmaxOffsetDb <= mostDb + LEVEL_TOLERANCE_DB) return;
    this.findings.refuse(
      file,
      `something of ${lafmaxOffsetDb.toFixed(1)} dB re the voice reference that kit.json does not list`,
      `at most ${mostDb.toFixed(1)} dB beside the sounds that it lists`,
    );
  }

  /** The limits of the ceiling that the manifest names, if it may have it; else the default ones. */
  private limits(manifest: Manifest): {
    readonly limits: OffsetLimits;
    readonly voice: LevelRange;
  } {
    const { ceiling, preset, voiceReference } = manifest;
    const who = listenerOf(manifest);
    const { laeqDba, raisedBy } = ceiling;
    const approval =
      raisedBy === null || typeof raisedBy !== 'object'
        ? {}
        : { approvedBy: raisedBy.name, reason: raisedBy.reason, date: raisedBy.date };
    try {
      const voice = voiceLevel(voiceReference.measured, 'kit.json voiceReference.measured');
      const awake = ceilingInForce({ laeqDba, ...approval }, who, 'kit.json ceiling', voice);
      const inForce = preset === 'asleep' ? ceilingOverSleep(awake) : awake;
      if (inForce.raisedBy !== null) this.notes.push(raisedNote(inForce));
      return { limits: offsetLimits(inForce, who, voice), voice };
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      this.findings.unsafe.push(...error.problems);
      const usual = ceilingInForce(undefined, who, 'kit.json');
      return { limits: offsetLimits(usual, who), voice: VOICE_DBA };
    }
  }

  private async measure(
    file: string,
    stretches: readonly Stretch[],
  ): Promise<MeasuredFile | undefined> {
    // A missing file is reported with the checksums.
    if (!this.kit.files.includes(file)) return undefined;
    const source = this.kit.open(file);
    try {
      const measured = await measureAudio(openMp3(source, file), stretches);
      this.tools.onMeasured?.();
      return measured;
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      this.findings.problems.push(...error.problems);
      return undefined;
    } finally {
      source.close();
    }
  }
}
