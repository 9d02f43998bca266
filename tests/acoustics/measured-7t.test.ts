/**
 * A response measured on a 7 T scanner (x axis, relative, 1 Hz steps) and the Pulseq sequence it was
 * measured with, both open data: the sequence sounded through the response must have the response's
 * shape. Its triangles' own spectrum is taken out, computed from their closed form.
 */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { magnitudeResponse } from '../../src/acoustics/measured-response.js';
import { parseResponseTable } from '../../src/acoustics/response-table.js';
import { synthesiser } from '../../src/acoustics/synthesise.js';
import { parsePulseq } from '../../src/formats/pulseq/parse-pulseq.js';
import { playPulseq } from '../../src/gradients/pulseq-scan.js';
import type { Waveform } from '../../src/gradients/timeline.js';
import { collect } from '../../src/signal/sound.js';
import { realSpectrum } from '../../src/signal/fft.js';
import { describeWithOpenData, SIDECAR_FOLDER } from '../helpers/open-data.js';
import { library } from '../helpers/study.js';

const DATA = path.dirname(SIDECAR_FOLDER);

/** Bands of a third octave from 200 to 4500 Hz, by their exact mid frequencies. */
const BANDS_HZ = Array.from({ length: 14 }, (_, i) => 1000 * 10 ** ((i - 7) / 10)).filter(
  hertz => hertz >= 199 && hertz <= 4500,
);

/** Largest difference of a band, in dB. */
const SHAPE_DB = 2;

describeWithOpenData('the probe of a 7 T scanner through its measured response', () => {
  test('has the response’s third-octave shape from 200 to 4500 Hz within 2 dB', () => {
    const measured = readFileSync(
      path.join(DATA, 'audio/acoustic-transfer-function_7T-TerraX_x-axis.csv'),
      'utf8',
    );
    const rows = measured
      .trim()
      .split('\n')
      .slice(1)
      .map(line => line.split(',').map(Number) as [hertz: number, amplitude: number]);
    expect(rows.length).toBeGreaterThan(4900);

    const table = `hertz,x_relative\n${rows.map(([hertz, x]) => `${hertz},${x}`).join('\n')}\n`;
    const response = magnitudeResponse(
      'measured',
      parseResponseTable(table, 'measured.csv'),
      library.responses.get('generic-7t')!,
    );
    const { timeline } = playPulseq(
      parsePulseq(
        readFileSync(
          path.join(
            DATA,
            'seq/AcousticTransferFunctionPulseqAndAnalysis__ScanAcousticTransferFunc-Reps10.seq',
          ),
          'utf8',
        ),
        'probe.seq',
      ),
    );
    const listening = { response, fieldStrength: 7, protection: undefined };
    const sound = collect(synthesiser(listening).sound(timeline, 20));
    const size = 2 ** Math.floor(Math.log2(sound.length));
    const spectrum = realSpectrum(sound.subarray(0, size));
    const binHz = 44_100 / size;

    const first = timeline.segments.flatMap(({ layers }) => layers.map(({ block }) => block.x))[0]!;
    const shapeDb = BANDS_HZ.map(middle => {
      const [low, high] = [middle * 10 ** -0.05, middle * 10 ** 0.05];
      let heard = 0;
      let driven = 0;
      for (let bin = Math.ceil(low / binHz); bin <= high / binHz; bin++) {
        heard += spectrum[2 * bin]! ** 2 + spectrum[2 * bin + 1]! ** 2;
        driven += lobeSpectrum(first, bin * binHz) ** 2;
      }
      const inBand = rows.filter(([hertz]) => hertz >= low && hertz <= high);
      const expected = inBand.reduce((sum, [, x]) => sum + x * x, 0) / inBand.length;
      return 10 * Math.log10(heard / driven / expected);
    });
    const mean = shapeDb.reduce((sum, db) => sum + db, 0) / shapeDb.length;
    for (const db of shapeDb) expect(Math.abs(db - mean)).toBeLessThan(SHAPE_DB);
  });
});

/** |spectrum| of the first lobe of a waveform at a frequency: a triangle's is sinc squared. */
function lobeSpectrum({ timesSeconds, amplitudes }: Waveform, hertz: number): number {
  const peak = amplitudes.findIndex(amplitude => Math.abs(amplitude) > 1);
  const riseSeconds = timesSeconds[peak]! - timesSeconds[peak - 1]!;
  const x = Math.PI * hertz * riseSeconds;
  return x === 0 ? 1 : (Math.sin(x) / x) ** 2;
}
