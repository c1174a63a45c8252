// Times at which an axis of time is labelled.

const STEPS = [5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400, 21600, 43200];

/** Round times [s] from 0 to `end`, so many that labels of 58 px stand clear on `width` px. */
export function timeTicks(end, width) {
  const step = STEPS.find((each) => (end / each) * 58 <= width) ?? 86400;
  return Array.from({ length: Math.floor(end / step + 1e-9) + 1 }, (_, i) => i * step);
}
