/** The instrument in a few words, for the head of the page. */
import type { InstrumentView } from '../contract.ts';
import { significant } from './number.ts';

const states: Readonly<Record<InstrumentView['state'], string>> = {
  closed: 'closed',
  opening: 'opening',
  listening: 'listening',
  reading: '',
  silent: 'silent',
  lost: 'gone',
  refused: 'not opened',
};

export function statusText(instrument: InstrumentView): string {
  if (instrument.source === 'none') return '';
  const kind = instrument.kind === 'bench-board' ? 'bench board' : 'scale';
  if (instrument.state !== 'reading') return `${kind}, ${states[instrument.state]}`;
  const rate =
    instrument.readingsPerSecond === null ? '' : `, ${significant(instrument.readingsPerSecond, 2)} a second`;
  const speed = instrument.speed === null || instrument.speed === 1 ? '' : `, ${instrument.speed}x`;
  return `${kind}${rate}${speed}`;
}
