/**
 * A worker that encodes MP3: sounds come in as blocks, files go out. Its only partner is
 * `encode-pool.ts`.
 *
 * @module
 */
import { parentPort } from 'node:worker_threads';
import { Mp3Encoder } from '../formats/mp3-encoder.js';
import type { ToPool, ToWorker } from './encode-messages.js';

if (parentPort === null) throw new Error('this file runs in a worker only');
const port = parentPort;
const encoder = await Mp3Encoder.create();
const answer = (message: ToPool, transfer: ArrayBuffer[] = []): void => {
  port.postMessage(message, transfer);
};

port.on('message', (message: ToWorker) => {
  try {
    switch (message.kind) {
      case 'start':
        encoder.start(message.settings);
        break;
      case 'block':
        encoder.push(message.samples);
        answer({ kind: 'taken', samples: message.samples }, [message.samples.buffer]);
        break;
      case 'finish': {
        const file = encoder.finish();
        answer({ kind: 'file', file }, [file.buffer as ArrayBuffer]);
        break;
      }
    }
  } catch (error) {
    answer({ kind: 'failed', message: String(error) });
  }
});
