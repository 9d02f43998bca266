/**
 * Ctrl+C and signals to end, as an abort signal, so that work can clean up after itself.
 *
 * @module
 */
import { InterruptedError } from '../errors.js';

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/**
 * Does work that stops when the program is told to.
 *
 * @param work - Gets the signal; must leave nothing half-done when it is aborted.
 * @throws {InterruptedError} It was; and whatever `work` throws.
 */
export async function interruptible<T>(work: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const controller = new AbortController();
  const stop = (): void => {
    controller.abort(new InterruptedError());
  };
  for (const name of SIGNALS) process.once(name, stop);
  try {
    return await work(controller.signal);
  } catch (error) {
    // What fails because it was stopped is not a fault.
    if (controller.signal.aborted) throw new InterruptedError();
    throw error;
  } finally {
    for (const name of SIGNALS) process.removeListener(name, stop);
  }
}
