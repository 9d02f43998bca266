/**
 * `describe` as a page: one self-contained file with a picture per scan.
 *
 * @module
 */
import type { Line } from '../gradients/timeline.js';
import { html, type Html } from '../formats/html.js';
import { formatValue } from '../protocol/format-value.js';
import { clock, staffPage } from './staff-page.js';
import type { DescribedScan, StudyDescription } from './describe-study.js';

/** A scan with its pictures. */
export interface PicturedScan {
  readonly scan: DescribedScan;
  readonly gradients: Html;
  readonly spectrogram: Html;
  readonly thirdOctaves: Html;
}

/** The page. `note` says what the response rests on. */
export function describePage(
  { study }: StudyDescription,
  scans: readonly PicturedScan[],
  note: string,
): string {
  const totalSeconds = scans.reduce((sum, { scan }) => sum + scan.durationSeconds, 0);
  return staffPage(
    `${study}: what each scan sounds like`,
    STYLE,
    html`
      <h1>${study}</h1>
      <p>${scans.length} scans, ${clock(totalSeconds)} of sound, in the order of the day.</p>
      <p class="note">
        Pitch, rhythm and length come from the protocol. Colour and level come from the response:
        ${note} Levels are A-weighted, expected (low to high); protected means under ear plugs and
        ear defenders.
      </p>
    `,
    html`${scans.map(section)}`,
  );
}

function section({ scan, gradients, spectrogram, thirdOctaves }: PicturedScan): Html {
  const { boreLaeqDba: bore, protectedLaeqDba: worn } = scan.levels;
  return html`<section>
    <h2>${scan.name} <small>${scan.plainName}</small></h2>
    <p class="facts">
      ${scan.type}, ${clock(scan.durationSeconds)}; in the bore ${range(bore)} dBA, protected
      ${range(worn)} dBA
    </p>
    <div class="pictures">
      <figure>
        ${gradients}
        <figcaption>Gradients x, y, z over one period</figcaption>
      </figure>
      <figure>
        ${spectrogram}
        <figcaption>Sound: time to the right, 80 Hz to 8 kHz upwards</figcaption>
      </figure>
      <figure>
        ${thirdOctaves}
        <figcaption>Third octaves, Hz; 60 dB from foot to top</figcaption>
      </figure>
    </div>
    <dl>${list('Tones', scan.tones)} ${list('Rhythm', scan.rhythm)}</dl>
    <details>
      <summary>Every field and where its value is from</summary>
      <div class="fields">
        <table>
          <thead>
            <tr>
              <th scope="col">field</th>
              <th scope="col">value</th>
              <th scope="col">origin</th>
              <th scope="col">why</th>
            </tr>
          </thead>
          <tbody>
            ${scan.fields.map(
              ({ name, value, unit, origin, why }) =>
                html`<tr class="${origin}">
                  <th scope="row">${name}</th>
                  <td>${formatValue(value)} ${unit}</td>
                  <td>${origin}</td>
                  <td>${why}</td>
                </tr>`,
            )}
          </tbody>
        </table>
      </div>
    </details>
  </section>`;
}

const list = (title: string, lines: readonly Line[]): Html =>
  html`<dt>${title}</dt>
    ${lines.map(({ hertz, cause }) => html`<dd><b>${hertzText(hertz)}</b> ${cause}</dd>`)}`;

const hertzText = (hertz: number): string =>
  `${hertz.toFixed(hertz < 10 ? 2 : hertz < 100 ? 1 : 0)} Hz`;

const range = (level: { readonly low: number; readonly expected: number; readonly high: number }) =>
  `${level.expected.toFixed(0)} (${level.low.toFixed(0)} to ${level.high.toFixed(0)})`;

const STYLE = `
:root { --ink: #1b1e36; --rule: #d9d5c4; --x: #b3472d; --y: #2f6f4f; --z: #31479c; --bar: #6b5b95; }
header, main { max-width: 74rem; }
.note { max-width: 46rem; color: #4a4d63; }
section { break-inside: avoid; }
h2 { margin: 0; font-size: 1.25rem; } h2 small { font-weight: 400; color: #4a4d63; }
.facts { margin: .25rem 0 .75rem; }
.pictures { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 19rem), 1fr)); gap: 1rem; align-items: start; }
svg, img { display: block; width: 100%; height: auto; background: #fff; border: 1px solid var(--rule); }
.zero { stroke: var(--rule); } polygon { stroke-width: .6; stroke-linejoin: round; }
.axis-x { fill: var(--x); stroke: var(--x); } .axis-y { fill: var(--y); stroke: var(--y); } .axis-z { fill: var(--z); stroke: var(--z); }
rect { fill: var(--bar); } text { font: 16px system-ui, sans-serif; fill: var(--ink); }
.scale { text-anchor: end; } .band { text-anchor: middle; }
dl { display: grid; grid-template-columns: 5rem 1fr; gap: .1rem 1rem; margin: .75rem 0; } dt { grid-column: 1; font-weight: 600; } dd { grid-column: 2; margin: 0; } dd b { display: inline-block; min-width: 5rem; }
details { margin-top: .5rem; } summary { cursor: pointer; }
table { border-collapse: collapse; font-size: .85rem; margin-top: .5rem; } th, td { text-align: left; vertical-align: top; padding: .15rem .75rem .15rem 0; border-bottom: 1px solid var(--rule); } tbody th { font-weight: 500; }
.assumed td:nth-child(3) { font-weight: 700; color: var(--x); }
.fields { overflow-x: auto; }
@media (max-width: 30rem) { header, main { padding: 1rem; } dl { grid-template-columns: 1fr; } dd { grid-column: 1; } }
@media print { details { display: none; } }
`;
