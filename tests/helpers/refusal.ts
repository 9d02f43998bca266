/** The error that a user would see. */
import { UserError } from '../../src/errors.js';

/** Runs and returns the refusal. @throws {Error} It was not refused; any other error passes on. */
export function refusal(run: () => unknown): UserError {
  try {
    run();
  } catch (error) {
    if (error instanceof UserError) return error;
    throw error;
  }
  throw new Error('not refused');
}

/** {@link refusal} of something that takes time. */
export async function refusalOf(promise: Promise<unknown>): Promise<UserError> {
  try {
    await promise;
  } catch (error) {
    if (error instanceof UserError) return error;
    throw error;
  }
  throw new Error('not refused');
}
