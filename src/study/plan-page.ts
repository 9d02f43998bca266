/**
 * A plan as a page: how loud and how long day by day, its steps, why the sounds are in their order.
 *
 * @module
 */
import { html, type Html } from '../formats/html.js';
import type { KitPlan } from '../kit/plan-kit.js';
import { secondsOfSound, stepDurationSeconds } from '../plan/layout.js';
import { planSpan, signedDb } from '../plan/plan-words.js';
import type { Step } from '../plan/plan.js';
import { clock, staffPage } from './staff-page.js';

/** Drawing units. */
const WIDTH = 900;
const LEVELS_HEIGHT = 260;
const MINUTES_HEIGHT = 90;
const LEFT = 60;
const TOP = 16;
const GAP = 34;

/** The page. `study` is the study's name, `notes` are sentences for staff. */
export function planPage(study: string, kitPlan: KitPlan, notes: readonly string[]): string {
  const { code, plan, ranking, constants, ceiling } = kitPlan;
  return staffPage(
    `Plan of kit ${code}`,
    STYLE,
    html`
      <h1>Plan of kit ${code}</h1>
      <p>
        ${study}. Age ${plan.ageBand}, ${plan.preset}: ${plan.steps.length} steps,
        ${plan.sessions.length} sessions, ${planSpan(plan)}. Ceiling ${ceiling.laeqDba} dBA.
      </p>
      ${notes.map(note => html`<p class="note">${note}</p>`)}
    `,
    html`
      <section>
        <h2>Day by day</h2>
        <figure>
          ${chart(kitPlan)}
          <figcaption>
            Each mark is a day of practice. Above: level of its step, dB relative to ordinary talk.
            Below: minutes of sound.
          </figcaption>
        </figure>
      </section>
      <section>
        <h2>Steps</h2>
        <div class="wide">
          <table>
            <thead>
              <tr>
                ${[
                  'step',
                  'first day',
                  'new',
                  'dB re talk',
                  'sounds',
                  'onset',
                  'softness',
                  'cues',
                  'child',
                  'length',
                ].map(title => html`<th scope="col">${title}</th>`)}
              </tr>
            </thead>
            <tbody>
              ${plan.steps.map(step => {
                const first = plan.sessions.find(session => session.step === step.number);
                return row(
                  step,
                  first?.date ?? `day ${first?.day ?? ''}`,
                  clock(stepDurationSeconds(step, constants.layout)),
                );
              })}
            </tbody>
          </table>
        </div>
      </section>
      <section>
        <h2>Sounds from gentle to hard</h2>
        <p>
          Compared at 60 dBA. Hardness puts loudness, sharpness, roughness and suddenness together;
          it is a proposal, and the study file can order the sounds otherwise (plan.order).
        </p>
        <div class="wide">
          <table>
            <thead>
              <tr>
                ${[
                  'sound',
                  'hardness',
                  'loudness, sone',
                  'sharpness, acum',
                  'roughness, asper',
                  'start, dB in 50 ms',
                  'later, dB in 50 ms',
                ].map(title => html`<th scope="col">${title}</th>`)}
              </tr>
            </thead>
            <tbody>
              ${ranking.map(
                sound =>
                  html`<tr>
                    <th scope="row">${sound.name}</th>
                    <td>${sound.hardness.toFixed(1)}</td>
                    <td>${sound.loudnessSone.toFixed(1)}</td>
                    <td>${sound.sharpnessAcum.toFixed(2)}</td>
                    <td>${sound.roughnessAsper.toFixed(2)}</td>
                    <td>${sound.startDb.toFixed(0)}</td>
                    <td>${sound.laterDb.toFixed(0)}</td>
                  </tr>`,
              )}
            </tbody>
          </table>
        </div>
      </section>
    `,
  );
}

const row = (step: Step, firstDay: string, length: string): Html =>
  html`<tr>
    <th scope="row">${step.number}</th>
    <td>${firstDay}</td>
    <td>${step.change}</td>
    <td>${signedDb(step.levelDb)}</td>
    <td>${step.sounds.length}</td>
    <td>${step.onsetSeconds} s</td>
    <td>${step.softness === 0 ? 'full sound' : step.softness}</td>
    <td>${step.announced ? 'before each' : 'before the first'}</td>
    <td>${step.posture === 'any' ? 'busy' : 'lying still'}</td>
    <td>${length}</td>
  </tr>`;

function chart({ plan }: KitPlan): Html {
  const { steps, sessions, days } = plan;
  const byNumber = new Map(steps.map(step => [step.number, step]));
  const levels = [...new Set(steps.map(({ levelDb }) => levelDb))].sort((a, b) => a - b);
  const [lowest, highest] = [levels[0]!, levels.at(-1)!];
  const perDay = new Map<number, { readonly step: Step; minutes: number }>();
  for (const { day, step: number } of sessions) {
    const step = byNumber.get(number)!;
    const minutes = (perDay.get(day)?.minutes ?? 0) + secondsOfSound(step) / 60;
    perDay.set(day, { step, minutes });
  }
  const most = Math.max(...[...perDay.values()].map(({ minutes }) => minutes));
  const x = (day: number): number => LEFT + ((day - 0.5) / days) * (WIDTH - LEFT - 10);
  const y = (levelDb: number): number =>
    TOP + LEVELS_HEIGHT * (highest === lowest ? 0.5 : (highest - levelDb) / (highest - lowest));
  const floor = TOP + LEVELS_HEIGHT + GAP + MINUTES_HEIGHT;
  const width = Math.max(Math.min((WIDTH - LEFT) / days - 3, 26), 2);
  const marks = [...perDay].map(([day, { step, minutes }]) => {
    const tall = (minutes / most) * MINUTES_HEIGHT;
    return html`<g>
      <title>
        day ${day}: step ${step.number}, ${signedDb(step.levelDb)} dB, ${minutes.toFixed(1)} min
      </title>
      <circle cx="${x(day).toFixed(1)}" cy="${y(step.levelDb).toFixed(1)}" r="6" />
      <rect
        x="${(x(day) - width / 2).toFixed(1)}"
        y="${(floor - tall).toFixed(1)}"
        width="${width.toFixed(1)}"
        height="${tall.toFixed(1)}"
      />
    </g>`;
  });
  const grid = levels.map(
    level =>
      html`<line
          x1="${LEFT}"
          x2="${WIDTH}"
          y1="${y(level).toFixed(1)}"
          y2="${y(level).toFixed(1)}"
        />
        <text class="scale" x="${LEFT - 10}" y="${(y(level) + 5).toFixed(1)}"
          >${signedDb(level)}</text
        >`,
  );
  const first = plan.startDate ?? 'day 1';
  const last = plan.scanDate === null ? `day ${days}` : `scan ${plan.scanDate}`;
  return html`<svg
    viewBox="0 0 ${WIDTH} ${floor + 34}"
    role="img"
    aria-label="Level and minutes of sound on each day of the plan"
  >
    ${grid} ${marks}
    <line class="floor" x1="${LEFT}" x2="${WIDTH}" y1="${floor}" y2="${floor}" />
    <text class="scale" x="${LEFT - 10}" y="${floor - MINUTES_HEIGHT + 12}">
      ${most.toFixed(1)}
    </text>
    <text class="scale" x="${LEFT - 10}" y="${floor}">min</text>
    <text x="${LEFT}" y="${floor + 24}">${first}</text>
    <text class="scale" x="${WIDTH}" y="${floor + 24}">${last}</text>
  </svg>`;
}

const STYLE = `
:root { --ink: #1b1e36; --rule: #d9d5c4; --mark: #31479c; --bar: #b3472d; }
h2 { margin: 0 0 .5rem; font-size: 1.25rem; }
.note { max-width: 46rem; border-left: 4px solid var(--bar); padding-left: .75rem; }
svg { display: block; width: 100%; height: auto; background: #fff; border: 1px solid var(--rule); }
svg line { stroke: var(--rule); } svg .floor { stroke: var(--ink); } circle { fill: var(--mark); } rect { fill: var(--bar); }
svg text { font: 14px system-ui, sans-serif; fill: var(--ink); } .scale { text-anchor: end; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-size: .9rem; } th, td { text-align: left; padding: .2rem 1rem .2rem 0; border-bottom: 1px solid var(--rule); white-space: nowrap; }
`;
