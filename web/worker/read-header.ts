import { ok, refused, type Outcome } from '../../src/base/outcome.ts';
import type { CaptureHeader } from '../../src/signal/captures/header.ts';
import { CaptureReader } from '../../src/signal/captures/read.ts';

/** The header of a capture from its text alone, as a sweep's record keeps it. */
export function readHeader(text: string): Outcome<CaptureHeader> {
  const found: CaptureHeader[] = [];
  const reader = new CaptureReader({
    header: (header) => found.push(header),
    line: () => undefined,
    mark: () => undefined,
  });
  const pushed = reader.push(text);
  if (!pushed.ok) return pushed;
  reader.finish();
  return found[0] === undefined ? refused('not-a-capture') : ok(found[0]);
}
