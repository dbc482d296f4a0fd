import { ok, refused, type Outcome } from '../../base/outcome.ts';
import type { CaptureHeader } from './header.ts';
import type { CaptureMark } from './mark.ts';
import { CaptureReader } from './read.ts';

/** The header of a capture from its text alone, as a sweep's record keeps it. */
export function readHeader(text: string): Outcome<CaptureHeader> {
  const read = readHeaderAndMarks(text, '');
  return read.ok ? ok(read.value.header) : read;
}

/** The header, and the marks that the end of a sweep kept (`marks`: lines with their times, as in the capture). */
export function readHeaderAndMarks(
  text: string,
  marks: string,
): Outcome<{
  readonly header: CaptureHeader;
  readonly marks: readonly { readonly at_s: number; readonly mark: CaptureMark }[];
}> {
  const headers: CaptureHeader[] = [];
  const found: { at_s: number; mark: CaptureMark }[] = [];
  const reader = new CaptureReader({
    header: (header) => headers.push(header),
    line: () => undefined,
    mark: (at_s, mark) => found.push({ at_s, mark }),
  });
  const pushed = reader.push(text + marks);
  if (!pushed.ok) return pushed;
  reader.finish();
  return headers[0] === undefined ? refused('not-a-capture') : ok({ header: headers[0], marks: found });
}
