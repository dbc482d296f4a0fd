import type { RawLine } from '../lines/line-splitter.ts';
import { escapeLine } from './escape.ts';
import { CAPTURE_VERSION, type CaptureHeader } from './header.ts';
import { headerKeys } from './header-keys.ts';
import { markText, type CaptureMark } from './mark.ts';

/** The first lines of a capture, each with its LF. Control characters in free text become spaces. */
export function captureHeaderText(header: CaptureHeader): string {
  const lines = [`#catchbench-capture ${CAPTURE_VERSION}`];
  for (const key of Object.keys(headerKeys) as (keyof typeof headerKeys)[]) {
    const value = header[key];
    if (value !== undefined) lines.push(headerLine(key, String(value)));
  }
  for (const [key, value] of Object.entries(header.unknown)) lines.push(headerLine(key, value));
  return `${lines.join('\n')}\n`;
}

/** One line as it was received, with its arrival and its LF. */
export function captureDataLine(raw: RawLine): string {
  return `${timeText(raw.arrival_s)}\t${escapeLine(raw.line)}\n`;
}

/** One mark with its LF. `at_s` on the axis of arrival. */
export function captureMarkLine(at_s: number, mark: CaptureMark): string {
  return `${timeText(at_s)}\t${markText(mark)}\n`;
}

function headerLine(key: string, value: string): string {
  return `# ${key}: ${value.replaceAll(/\p{Cc}/gu, ' ').trim()}`;
}

/** Three to six decimals: no more zeros than needed. */
function timeText(time_s: number): string {
  const text = time_s.toFixed(6);
  let end = text.length;
  while (end > text.length - 3 && text.charCodeAt(end - 1) === 48) end -= 1;
  return text.slice(0, end);
}
