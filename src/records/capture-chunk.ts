/** About a second of raw capture lines, as they go into the store while the sweep runs. */
export interface CaptureChunk {
  /** 0, 1, 2, … within a sweep, also across a restart of the program. */
  readonly sequence: number;
  /** Whole lines of the capture format, each with its LF; the header is not among them (it is in the sweep's record). */
  readonly text: string;
}

/** First and last sequence number of a run of chunks that isn't there. */
export interface MissingChunks {
  readonly first: number;
  readonly last: number;
}

/**
 * Chunks in any order → their text by sequence number. Where chunks are missing between two that are there, a
 * `!gap lines-lost` mark stands instead, at the time of the first line after it, so that no reader takes the readings
 * for continuous. What is missing after the last chunk can't be known.
 */
export function joinChunks(chunks: readonly CaptureChunk[]): {
  readonly texts: readonly string[];
  readonly missing: readonly MissingChunks[];
} {
  const texts: string[] = [];
  const missing: MissingChunks[] = [];
  let expected = 0;
  for (const chunk of [...chunks].sort((a, b) => a.sequence - b.sequence)) {
    if (chunk.sequence > expected) {
      missing.push({ first: expected, last: chunk.sequence - 1 });
      texts.push(`${firstTime(chunk.text)}\t!gap lines-lost\n`);
    }
    texts.push(chunk.text);
    expected = chunk.sequence + 1;
  }
  return { texts, missing };
}

function firstTime(text: string): string {
  return /^(\d[\d.]*)\t/mu.exec(text)?.[1] ?? '0.0000';
}
