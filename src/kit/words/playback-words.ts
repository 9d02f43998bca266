/**
 * Playback in sentences, and its numbers as people read them.
 *
 * @module
 */
import type { Listener } from '../../levels/limits.js';
import type {
  ManifestDevice,
  ManifestLoss,
  ManifestPlayback,
  ManifestWeek,
} from '../manifest/manifest-playback.js';

/**
 * Sentences for staff: the volume as set, too loud, all the way up; what small loudspeakers lose.
 *
 * @param isVoiceLoudest - Whether every sound is softer than the voice reference, as over sleep.
 */
export function playbackWords(
  playback: Omit<ManifestPlayback, 'words'>,
  listener: Listener,
  isVoiceLoudest = false,
): readonly string[] {
  const { asSet, tenTooLoud, twentyTooLoud, allTheWayUp, losses } = playback;
  const { low, expected, high } = asSet;
  const loudest = isVoiceLoudest ? 'the loudest sound, the voice reference,' : 'the loudest sound';
  const whose = listener === 'child' ? 'a child' : 'an adult';
  return [
    `With the volume set as the page says, ${loudest} is about ${dba(expected)} (${level(low)} to ${level(high)}), and the busiest week uses ${percentInWords(expected.weeklyDosePercent)} of what WHO and ITU allow ${whose} (${percentInWords(low.weeklyDosePercent)} to ${percentInWords(high.weeklyDosePercent)}).`,
    `10 dB too loud: ${weekInWords(tenTooLoud)}. 20 dB too loud: ${weekInWords(twentyTooLoud)}.`,
    ...allTheWayUp.map(deviceInWords),
    ...lossesInWords(allTheWayUp, losses),
  ];
}

/** `< 0.01 %`, `0.42 %`, `9.1 %`, `1200 %`. */
export function percentInWords(percent: number): string {
  if (percent > 0 && percent < 0.01) return '< 0.01 %';
  if (percent >= 1000) return `${Number(percent.toPrecision(2))} %`;
  return `${percent < 10 ? Number(percent.toPrecision(2)) : Math.round(percent)} %`;
}

/** `14 seconds`, `24 minutes`, `4.0 hours`, `more than a week`. */
export function minutesInWords(minutes: number): string {
  if (minutes < 2) return `${Math.round(60 * minutes)} seconds`;
  if (minutes < 120) return `${Math.round(minutes)} minutes`;
  if (minutes < 7 * 24 * 60) return `${Number((minutes / 60).toPrecision(2))} hours`;
  return 'more than a week';
}

const level = ({ laeqDba }: ManifestWeek): string => laeqDba.toFixed(0);
const dba = (week: ManifestWeek): string => `${level(week)} dBA`;

const weekInWords = (week: ManifestWeek): string =>
  `about ${dba(week)}, ${percentInWords(week.weeklyDosePercent)} a week, ${limitInWords(week)}`;

function limitInWords({ passesWeeklyLimit, minutesToWeeklyLimit }: ManifestWeek): string {
  const time = minutesInWords(minutesToWeeklyLimit);
  return passesWeeklyLimit
    ? `PAST THE LIMIT, which ${time} of the loudest sound use up`
    : `within the limit (${time} of the loudest sound would use it up)`;
}

function deviceInWords({ label, typical, worst }: ManifestDevice): string {
  return `All the way up on ${label}: ${weekInWords(typical)}; at worst ${weekInWords(worst)}.`;
}

/** One sentence per device that takes something off that matters, and one for all that do not. */
function lossesInWords(
  devices: readonly ManifestDevice[],
  losses: readonly ManifestLoss[],
): readonly string[] {
  const lossy = devices.flatMap(({ device, label, lowEndHertz }) => {
    const lost = losses.filter(({ unrecognisableOn }) => unrecognisableOn.includes(device));
    if (lost.length === 0) return [];
    const names = lost.map(
      ({ scan, toneHertz, belowLowEndPercent }) =>
        `${scan} (its tone lies at ${Math.round(toneHertz)} Hz, ${Math.round(belowLowEndPercent[device]!)} % of its energy is gone)`,
    );
    return [
      `Below ${lowEndHertz} Hz nothing comes from ${label}: what makes them recognisable is lost of ${names.join(', ')}. Their rhythm stays.`,
    ];
  });
  if (lossy.length > 0 || losses.length === 0) return lossy;
  return ['Every sound keeps what makes it recognisable on all of these.'];
}
