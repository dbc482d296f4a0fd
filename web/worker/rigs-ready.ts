import { rigFacts } from '../../src/analysis/rigs/rig-facts.ts';
import { provideRigReaders } from '../../src/analysis/rigs/rig-readers.ts';
import type { CaptureHeader } from '../../src/signal/captures/header.ts';

/** Loads what reads the rig of a capture, where it is another than a held pressure into a pail; to be waited for before its readings are analysed. */
export async function rigsReady(header: CaptureHeader | null): Promise<void> {
  if (header === null || rigFacts(header) === null) return;
  const { allRigReaders } = await import('../../src/analysis/rigs/all-rig-readers.ts');
  provideRigReaders(allRigReaders);
}
