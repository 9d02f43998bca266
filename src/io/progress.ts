/**
 * A progress bar on the error stream while long work goes on, when somebody can see it.
 *
 * @module
 */
import { Presets, SingleBar } from 'cli-progress';

export interface Progress {
  /** One more of the announced units is done. */
  readonly step: () => void;
  /** The work is over: the bar goes away. */
  readonly stop: () => void;
}

/**
 * Starts a bar, or nothing where the error stream is not a terminal.
 *
 * @param label - What is being done, for example `Encoding steps`.
 * @param total - Number of units.
 */
export function startProgress(
  { errIsTerminal }: { readonly errIsTerminal: boolean },
  label: string,
  total: number,
): Progress {
  if (!errIsTerminal) return { step: () => undefined, stop: () => undefined };
  const bar = new SingleBar(
    {
      format: `${label} {bar} {value}/{total}`,
      stream: process.stderr,
      hideCursor: true,
      clearOnComplete: true,
      stopOnComplete: false,
    },
    Presets.shades_classic,
  );
  bar.start(total, 0);
  return {
    step: () => {
      bar.increment();
    },
    stop: () => {
      bar.stop();
    },
  };
}
