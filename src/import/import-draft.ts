/**
 * What was imported as a study file to go on with.
 *
 * @module
 */
import type { ImportResult } from './import-sidecars.js';
import type { StudyDraft } from '../protocol/write-study-file.js';

/** A study file of imported scans, with placeholders for what sidecars cannot tell. */
export function draftOfImport({ scanner, scans, notes }: ImportResult): StudyDraft {
  return {
    notes: [
      'Made by softknock import. After # stands where a value is from: given (found in the files), ' +
        'derived (computed from what was found) or assumed (typical). What is not here will be assumed; ' +
        'softknock describe lists it.',
      ...notes,
      'Scans of types that cannot be sounded yet are not here: add their time to what you tell the family.',
    ],
    study: {
      name: 'My study',
      contact: { name: 'Study office', phone: '+00 000 0000', email: 'office@example.org' },
    },
    studyNotes: ['Placeholders: write the name of the study and whom families can ask.'],
    scanner,
    scans,
  };
}
