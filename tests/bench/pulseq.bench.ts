/**
 * Reading and sounding Pulseq sequences. One run reads 20 MB: 2 s is 0.5 runs a second; or sounds a
 * minute that never repeats: 0.4 s is 2.5 runs a second, a minute that repeats: 0.05 s is 20.
 */
import { bench, describe } from 'vitest';
import { synthesiser } from '../../src/acoustics/synthesise.js';
import { parsePulseq } from '../../src/formats/pulseq/parse-pulseq.js';
import { playPulseq } from '../../src/gradients/pulseq-scan.js';
import type { Timeline } from '../../src/gradients/timeline.js';
import { seededRandom } from '../../src/signal/random.js';
import { gradientEchoSequence } from '../helpers/generated-sequence.js';
import { library } from '../helpers/study.js';

const MEGABYTES = 20;
const random = seededRandom('pulseq bench');

/** Mostly blocks: a long scan of short events. */
const ofBlocks = gradientEchoSequence({ repetitions: 180_000, varied: false });

/** Mostly numbers of shapes, as an exporter of sampled gradients writes. */
function ofShapes(): string {
  const parts = [gradientEchoSequence({ repetitions: 10 })];
  for (let id = 3, length = 0; length < MEGABYTES * 1e6; id++) {
    const numbers = Array.from({ length: 1000 }, () => random.uniform().toFixed(12)).join('\n');
    const part = `\nshape_id ${id}\nnum_samples 1000\n${numbers}\n`;
    parts.push(part);
    length += part.length;
  }
  return parts.join('');
}

const texts = { 'mostly blocks': ofBlocks, 'mostly samples': ofShapes() };

describe(`read ${MEGABYTES} MB`, () => {
  for (const [what, text] of Object.entries(texts)) {
    const whole = text.slice(0, text.length);
    bench(`${what}, ${(text.length / 1e6).toFixed(1)} MB`, () => {
      parsePulseq(whole, 'bench.seq');
    });
  }
});

const minute = (varied: boolean): Timeline => {
  const text = gradientEchoSequence({ repetitions: 5000, varied });
  return playPulseq(parsePulseq(text, 'bench.seq')).timeline;
};

const { sound } = synthesiser({
  response: library.responses.get('generic-3t')!,
  fieldStrength: 3,
  protection: undefined,
});

describe('sound a minute of gradient echoes', () => {
  for (const [what, timeline] of [
    ['no two repetitions alike', minute(true)],
    ['all alike', minute(false)],
  ] as const) {
    bench(what, () => {
      let samples = 0;
      for (const block of sound(timeline).blocks()) samples += block.length;
      if (samples !== 60 * 44_100) throw new Error(`${samples} samples`);
    });
  }
});
