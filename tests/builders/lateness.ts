/**
 * Arrival of lines made at `made_s`: 1-16 ms late, now and then stalled for 60-140 ms (a share `stalls` of the lines),
 * never overtaking one another.
 */
export function arrivalsOf(made_s: ArrayLike<number>, random: () => number, stalls = 0.001): Float64Array {
  const arrival_s = new Float64Array(made_s.length);
  let last = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < made_s.length; i += 1) {
    const stall_s = random() < stalls ? 0.06 + 0.08 * random() : 0;
    last = Math.max(last, made_s[i]! + 0.001 + 0.015 * random() + stall_s);
    arrival_s[i] = last;
  }
  return arrival_s;
}
