/**
 * Pictures of a scan for people who answer for it: its gradients, its sound over time and frequency,
 * and how its energy lies in third octaves.
 *
 * @module
 */
import { encodePng, type Rgb } from '../formats/png.js';
import { AXES, type Axis, type Segment, type Waveform } from '../gradients/timeline.js';
import { html, type Html } from '../formats/html.js';
import type { ThirdOctaveLevel } from '../levels/levels.js';
import { spectrogram } from '../signal/spectrogram.js';

/** Size of a drawing in its own units. */
const WIDTH = 640;
const HEIGHT = 150;

/** Left of the waveforms stand the axes, above them the scale. */
const AXIS_WIDTH = 20;
const SCALE_HEIGHT = 18;

/** Below the bars stand their frequencies. */
const BANDS_HEIGHT = 20;

/** Columns of a drawn waveform: more corners than this are drawn as their range per column. */
const COLUMNS = (WIDTH - AXIS_WIDTH) * 2;

/** Most of a segment that is drawn as "one period", in s. */
const LONGEST_PERIOD_SECONDS = 4;

/** The waveforms of the first segment that moves, over one period. */
export function gradientPicture(segments: readonly Segment[]): Html {
  const segment = segments.find(({ layers }) => layers.length > 0);
  if (segment === undefined) return html`<p class="none">No gradient moves in this scan.</p>`;
  const periodSeconds = Math.min(segment.durationSeconds, LONGEST_PERIOD_SECONDS);
  const ranges = AXES.map(axis => ({ axis, range: axisRange(segment, axis, periodSeconds) }));
  const top = Math.max(1, ...ranges.flatMap(({ range }) => range.map(([, high]) => high)));
  const bottom = Math.min(-1, ...ranges.flatMap(({ range }) => range.map(([low]) => low)));
  const half = Math.max(top, -bottom);
  const row = (HEIGHT - SCALE_HEIGHT) / AXES.length;
  return html`<svg
    viewBox="0 0 ${WIDTH} ${HEIGHT}"
    role="img"
    aria-label="Gradient waveforms of one period"
  >
    ${ranges.map(({ axis, range }, i) => {
      const middle = SCALE_HEIGHT + row * (i + 0.5);
      const y = (amplitude: number): string =>
        (middle - (amplitude / half) * row * 0.46).toFixed(1);
      const upper = range.map(([, high], x) => `${AXIS_WIDTH + x / 2},${y(high)}`);
      const lower = range.map(([low], x) => `${AXIS_WIDTH + x / 2},${y(low)}`).reverse();
      return html`<line
          class="zero"
          x1="${AXIS_WIDTH}"
          x2="${WIDTH}"
          y1="${middle}"
          y2="${middle}"
        />
        <polygon class="axis-${axis}" points="${[...upper, ...lower].join(' ')}" />
        <text x="6" y="${middle + 5}">${axis}</text>`;
    })}
    <text class="scale" x="${WIDTH - 4}" y="13">
      ${formatMs(periodSeconds)}, each axis ±${half.toFixed(0)} mT/m
    </text>
  </svg>`;
}

const formatMs = (timeSeconds: number): string =>
  timeSeconds < 1 ? `${(timeSeconds * 1e3).toFixed(1)} ms` : `${timeSeconds.toFixed(2)} s`;

/** Lowest and highest amplitude of an axis in each column of a period, layers at their gains together. */
function axisRange(
  segment: Segment,
  axis: Axis,
  periodSeconds: number,
): readonly (readonly [low: number, high: number])[] {
  const low = new Float64Array(COLUMNS);
  const high = new Float64Array(COLUMNS);
  for (const { block, gain } of segment.layers) {
    const waveform = block[axis];
    if (waveform === undefined) continue;
    const layerLow = new Float64Array(COLUMNS).fill(Infinity);
    const layerHigh = new Float64Array(COLUMNS).fill(-Infinity);
    spread(waveform, periodSeconds, layerLow, layerHigh);
    for (let x = 0; x < COLUMNS; x++) {
      if (layerLow[x]! > layerHigh[x]!) continue;
      low[x]! += Math.min(layerLow[x]! * gain, layerHigh[x]! * gain);
      high[x]! += Math.max(layerLow[x]! * gain, layerHigh[x]! * gain);
    }
  }
  return Array.from(low, (value, x) => [value, high[x]!] as const);
}

/** Range of a waveform per column; straight lines reach every column that they cross. */
function spread(
  { timesSeconds, amplitudes }: Waveform,
  periodSeconds: number,
  low: Float64Array,
  high: Float64Array,
): void {
  for (let i = 1; i < timesSeconds.length; i++) {
    const [t0, t1] = [timesSeconds[i - 1]!, timesSeconds[i]!];
    const [a0, a1] = [amplitudes[i - 1]!, amplitudes[i]!];
    const first = Math.floor((t0 / periodSeconds) * COLUMNS);
    const last = Math.min(COLUMNS - 1, Math.floor((t1 / periodSeconds) * COLUMNS));
    for (let x = first; x <= last; x++) {
      const at = (column: number): number => {
        const time = Math.min(t1, Math.max(t0, (column / COLUMNS) * periodSeconds));
        return t1 === t0 ? a1 : a0 + ((a1 - a0) * (time - t0)) / (t1 - t0);
      };
      low[x] = Math.min(low[x]!, at(x), at(x + 1));
      high[x] = Math.max(high[x]!, at(x), at(x + 1));
    }
  }
}

/** Spectrogram: size in pixels, frequencies in Hz, range of levels in dB. */
const SPECTROGRAM = { columns: 640, rows: 150, lowHz: 80, highHz: 8000, rangeDb: 60 };

/** Night to lamplight, in even steps of lightness. */
const PALETTE: readonly Rgb[] = Array.from({ length: 64 }, (_, i): Rgb => {
  const t = i / 63;
  const between = (stops: readonly number[]): number => {
    const place = t * (stops.length - 1);
    const k = Math.min(stops.length - 2, Math.floor(place));
    return Math.round(stops[k]! + (stops[k + 1]! - stops[k]!) * (place - k));
  };
  return [between([22, 60, 168, 255]), between([26, 68, 112, 226]), between([51, 130, 120, 150])];
});

/** The sound over time and frequency, as a PNG in a data address. */
export function spectrogramPicture(samples: Float64Array, sampleRateHz: number): Html {
  const { columns, rows, lowHz, highHz, rangeDb } = SPECTROGRAM;
  const { levelsDb } = spectrogram(samples, sampleRateHz, columns, rows, lowHz, highHz);
  const loudest = levelsDb.reduce((max, level) => Math.max(max, level), -Infinity);
  const indices = Uint8Array.from(levelsDb, level => {
    const share = 1 - (loudest - level) / rangeDb;
    return Math.round(Math.min(1, Math.max(0, share)) * (PALETTE.length - 1));
  });
  const png = encodePng(columns, rows, indices, PALETTE);
  return html`<img
    width="${columns}"
    height="${rows}"
    alt="Sound over ${(samples.length / sampleRateHz).toFixed(0)} s (left to right) and frequency (80 Hz below, 8 kHz above)"
    src="data:image/png;base64,${toBase64(png)}"
  />`;
}

/** Base 64 (RFC 4648). */
function toBase64(bytes: Uint8Array): string {
  let binary = '';
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return btoa(binary);
}

/** Bands drawn: 50 Hz to 10 kHz. */
const BARS = { lowHz: 49, highHz: 10_500, rangeDb: 60 };

/** Third-octave levels as bars, re the highest. */
export function thirdOctavePicture(bands: readonly ThirdOctaveLevel[]): Html {
  const drawn = bands.filter(({ nominalHz }) => nominalHz > BARS.lowHz && nominalHz < BARS.highHz);
  const highest = drawn.reduce((max, { levelDbfs }) => Math.max(max, levelDbfs), -Infinity);
  const place = WIDTH / drawn.length;
  const floor = HEIGHT - BANDS_HEIGHT;
  return html`<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="Third-octave levels">
    ${drawn.map(({ nominalHz: hertz, levelDbfs }, i) => {
      const height = Math.max(1, (1 - (highest - levelDbfs) / BARS.rangeDb) * (floor - 4));
      const label = LABELLED.includes(hertz)
        ? html`<text x="${place * (i + 0.5)}" y="${HEIGHT - 5}" class="band">
            ${hertz < 1000 ? String(hertz) : `${hertz / 1000} k`}
          </text>`
        : undefined;
      return html`<rect
          x="${(place * (i + 0.1)).toFixed(1)}"
          y="${(floor - height).toFixed(1)}"
          width="${(place * 0.8).toFixed(1)}"
          height="${height.toFixed(1)}"
        />${label}`;
    })}
  </svg>`;
}

/** Bands with their frequency below. */
const LABELLED = [63, 125, 250, 500, 1000, 2000, 4000, 8000];
