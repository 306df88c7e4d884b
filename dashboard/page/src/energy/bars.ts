// Bars of heat: from the sun filled, from the meter hatched on top of it, and what
// was promised as a stroke across. The table beside them has the figures.

import { s } from "../dom.ts";
import { figure } from "../texts.ts";

export interface Bar {
  readonly label: string;
  readonly sunJ: number;
  readonly meterJ: number;
  readonly promisedJ: number | null;
}

const height = 220, left = 44, right = 10, bottom = 22, top = 8; // pixels
const leastWidth = 260, mostWidth = 900, labelWidth = 30, mostStep = 90;

/** Draws bars for a place that is so many pixels wide. */
export function bars(list: readonly Bar[], words: string, place: number): SVGElement {
  const width = Math.min(Math.max(place, leastWidth), mostWidth);
  const most = niceAbove(Math.max(1e6, ...list.map((b) => Math.max(b.sunJ + b.meterJ, b.promisedJ ?? 0))) / 3.6e6);
  const y = (kWh: number) => height - bottom - (kWh / most) * (height - bottom - top);
  const step = Math.min(mostStep, (width - left - right) / Math.max(1, list.length));
  const root = s("svg", { viewBox: `0 0 ${width} ${height}`, class: "bars", role: "img", "aria-label": words },
    s("defs", {}, s("pattern", { id: "hatched", width: "6", height: "6", patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
      s("rect", { width: "6", height: "6", class: "meter-ground" }), s("line", { x1: "0", y1: "0", x2: "0", y2: "6", class: "meter-hatch" }))));
  for (const part of [0, 0.25, 0.5, 0.75, 1]) {
    const kWh = most * part;
    root.append(
      s("line", { x1: `${left}`, x2: `${width}`, y1: `${y(kWh)}`, y2: `${y(kWh)}`, class: "rule" }),
      s("text", { x: `${left - 6}`, y: `${y(kWh) + 4}`, class: "scale" }, figure(kWh, most < 10 ? 1 : 0)));
  }
  const every = Math.ceil(labelWidth / step);
  list.forEach((b, i) => {
    const x = left + step * (i + 0.15), wide = step * 0.7;
    const sun = b.sunJ / 3.6e6, all = sun + b.meterJ / 3.6e6;
    const bar = (from: number, to: number, kind: string) =>
      s("rect", { x: `${x}`, width: `${wide}`, y: `${y(to)}`, height: `${Math.max(0, y(from) - y(to))}`, class: kind });
    root.append(bar(0, sun, "from-sun"), bar(sun, all, "from-meter"));
    if (b.promisedJ !== null) {
      const at = y(b.promisedJ / 3.6e6);
      root.append(s("line", { x1: `${x - step * 0.1}`, x2: `${x + wide + step * 0.1}`, y1: `${at}`, y2: `${at}`, class: "promise" }));
    }
    if (i % every === 0) root.append(s("text", { x: `${x + wide / 2}`, y: `${height - 5}`, class: "name" }, b.label));
  });
  return root;
}

/** The next figure above whose quarters are short. */
function niceAbove(kWh: number): number {
  const power = 10 ** Math.floor(Math.log10(kWh));
  return ([1, 1.2, 1.6, 2, 2.4, 3.2, 4, 6, 8, 10].find((n) => n * power >= kWh) ?? 10) * power;
}

/** A piece of a bar, for the words beside it. */
export function sample(kind: "from-sun" | "from-meter" | "promise"): SVGElement {
  return s("svg", { viewBox: "0 0 20 12", class: "sample", "aria-hidden": "true" }, kind === "promise"
    ? s("line", { x1: "0", y1: "6", x2: "20", y2: "6", class: "promise" })
    : s("rect", { width: "20", height: "12", class: kind }));
}
