/** Length and number of the blocks whose minima are remembered: the last 4 to 5 s of device time. */
const BLOCK_S = 1;
const BLOCKS = 5;

/**
 * The smallest (arrival - device clock) of the last few seconds: the delay of a line that came without waiting, whatever
 * the bundling of a USB bridge (up to 16 ms). It follows a clock that runs 0.5 % wrong within some 20 ms, which is why
 * it serves the running display only; flows are computed on `mapBoardClock`'s axis.
 */
export class EarlyEdge {
  readonly #minima = new Float64Array(BLOCKS).fill(Number.POSITIVE_INFINITY);
  #block = 0;

  /** The offset that brings `device_s` (never decreasing) onto the arrival axis. */
  take(device_s: number, arrival_s: number): number {
    const block = Math.floor(device_s / BLOCK_S);
    const passed = Math.min(block - this.#block, BLOCKS);
    for (let i = 0; i < passed; i += 1) this.#minima[(block - i) % BLOCKS] = Number.POSITIVE_INFINITY;
    this.#block = block;
    const place = block % BLOCKS;
    this.#minima[place] = Math.min(this.#minima[place]!, arrival_s - device_s);
    return Math.min(...this.#minima);
  }
}
