import { v7 as uuid } from 'uuid';
import { RECORD_VERSION, type Envelope } from '../../src/records/envelope.ts';
import { APP_VERSION } from './app-version.ts';

/** A fresh envelope for a record made here and now. The first record of a sweep names itself as the sweep. */
export function newEnvelope(
  sweepId: string | null,
  simulated: boolean,
  replaces: string | null = null,
): Envelope {
  const id = uuid();
  return {
    id,
    recordVersion: RECORD_VERSION,
    sweepId: sweepId ?? id,
    recordedAt_ms: Date.now(),
    timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
    replaces,
    simulated,
    appVersion: APP_VERSION,
  };
}
