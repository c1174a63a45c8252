// Numbers and times as people read them.

/** "0 s", "45 s", "5 min", "5 min 20 s", "2 h 30 min". */
export function spokenTime(seconds) {
  const whole = Math.round(seconds);
  if (whole < 60) return `${whole} s`;
  const parts = [
    [Math.floor(whole / 3600), "h"],
    [Math.floor((whole % 3600) / 60), "min"],
    [whole < 3600 ? whole % 60 : 0, "s"],
  ];
  return parts.filter(([count]) => count > 0).map(([count, unit]) => `${count} ${unit}`).join(" ");
}

/** Three significant figures, without exponents for everyday sizes. */
export function shortNumber(value) {
  if (!Number.isFinite(value)) return "–";
  if (value === 0) return "0";
  const size = Math.abs(value);
  if (size < 1e-3) return value.toExponential(1);
  return size >= 100 ? value.toFixed(0) : Number(value.toPrecision(3)).toString();
}

export function percent(share) {
  const value = 100 * share;
  return `${value > 0 && value < 1 ? "< 1" : value.toFixed(0)} %`;
}

/** A chance is never quite none or all. */
export function chance(share) {
  return share < 0.005 ? "<1 %" : share > 0.995 ? ">99 %" : percent(share);
}

export function wallLabel(wall) {
  if (wall === "all") return "whole bond";
  return /floor$|wall$|bond$/.test(wall) ? wall : `${wall} wall`;
}

/** What a run takes for granted of its bond. */
export function modeWords({ mode }) {
  return mode === "debonding" ? "bond may let go" : "bond assumed to hold";
}
