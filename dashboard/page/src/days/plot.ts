// One plot over time: curves that share an axis. It only shows; days.ts says what.

import UPlot from "uplot";
import { timeLabels } from "../texts.ts";

export interface Curve {
  readonly name: string; // of its colour and its dashes: "tank_top", or a figure from 1 to 4
  readonly words: string;
  readonly values: readonly (number | null)[];
  readonly low?: readonly (number | null)[];
  readonly high?: readonly (number | null)[];
  readonly steps?: boolean; // the value stands for the whole point, and the curve is filled
}

export interface PlotData {
  readonly at: readonly number[]; // middles of the points, seconds since 1970
  readonly curves: readonly Curve[];
  readonly from: number;
  readonly to: number;
  readonly zone: string;
}

export interface Handling {
  choose(at: number): void;
  /** The span was moved or zoomed; settled when nobody is about to go on. */
  range(from: number, to: number, settled: boolean): void;
}

export interface Plot {
  readonly root: HTMLElement;
  show(data: PlotData): void;
  mark(at: number | null): void;
  range(from: number, to: number): void;
}

/** Dashes of curves, so that none is told by its colour alone. */
export const dashes: Record<string, readonly number[]> = {
  tank_top: [], tank_bottom: [9, 4], collector: [3, 3], outdoor_air: [1, 4],
  loop_pump: [], backup_heater: [9, 4], sun_heat: [], meter_heat: [9, 4],
};
const otherDashes = [[12, 3, 2, 3], [5, 2], [2, 2], [14, 5]];
export const dashOf = (name: string): readonly number[] => dashes[name] ?? otherDashes[Number(name) - 1] ?? [];

const pixels = { tall: 240, low: 118 };

export function plot(label: string, unit: string, height: "tall" | "low", least: readonly [number, number], handling: Handling): Plot {
  const root = h(label);
  const colour = (name: string) => getComputedStyle(root).getPropertyValue(`--${name}`).trim();
  let shown: UPlot | null = null;
  let kinds = "";
  let marked: number | null = null;

  function drawMark(u: UPlot): void {
    if (marked === null) return;
    const x = Math.round(u.valToPos(marked, "x", true));
    const { left, top, width, height: tall } = u.bbox;
    if (x < left || x > left + width) return;
    u.ctx.save();
    u.ctx.fillStyle = colour("ink");
    u.ctx.fillRect(x - devicePixelRatio, top, 2 * devicePixelRatio, tall);
    u.ctx.restore();
  }

  function make({ curves, zone }: PlotData): UPlot {
    const series: UPlot.Series[] = [{}];
    const bands: UPlot.Band[] = [];
    const line = (name: string): UPlot.Series => ({
      label: name, stroke: () => colour(curveColour(name)), width: 2, dash: [...dashOf(name)], points: { show: false },
    });
    for (const curve of curves) {
      const fill = () => colour(curveColour(curve.name)) + "33";
      series.push(curve.steps
        ? { ...line(curve.name), ...(UPlot.paths.stepped && { paths: UPlot.paths.stepped({ align: 1 }) }), fill }
        : line(curve.name));
      if (curve.low && curve.high) {
        series.push({ ...line(curve.name), width: 0 }, { ...line(curve.name), width: 0 });
        bands.push({ series: [series.length - 2, series.length - 1], fill });
      }
    }
    const axis: UPlot.Axis = { stroke: () => colour("soft"), grid: { stroke: () => colour("line"), width: 1 }, ticks: { show: false }, font: "12px sans-serif" };
    const u = new UPlot({
      width: Math.max(240, root.clientWidth), height: pixels[height],
      tzDate: (seconds) => UPlot.tzDate(new Date(seconds * 1000), zone),
      legend: { show: false },
      cursor: { sync: { key: "days" }, drag: { x: false, y: false }, y: false },
      scales: {
        x: { time: true, auto: false },
        y: { range: (_, low, high) => [Math.min(least[0], low ?? least[0]), Math.max(least[1], (high ?? least[1]) * 1.05)] },
      },
      axes: [
        { ...axis, size: 38, space: 70, values: (_, splits, __, ___, step) => timeLabels(splits, step, zone) },
        { ...axis, size: 44, values: (_, splits) => splits.map((v) => `${v}${unit === "%" ? " %" : ""}`) },
      ],
      series, bands,
      hooks: { draw: [drawMark] },
    }, [[], ...series.slice(1).map(() => [])], root);
    listen(u, handling);
    return u;
  }

  new ResizeObserver(() => shown?.setSize({ width: Math.max(240, root.clientWidth), height: pixels[height] })).observe(root);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => shown?.redraw(false));

  return {
    root,
    show(data) {
      const now = data.zone + data.curves.map((c) => `${c.name} ${c.low !== undefined}`).join();
      if (shown === null || now !== kinds) {
        shown?.destroy();
        shown = make(data);
        kinds = now;
      }
      const columns = data.curves.flatMap((c) => (c.low && c.high ? [c.values, c.high, c.low] : [c.values]));
      shown.batch(() => {
        shown?.setData([[...data.at], ...columns.map((column) => [...column])] as UPlot.AlignedData, false);
        shown?.setScale("x", { min: data.from, max: data.to });
      });
    },
    mark(at) {
      marked = at;
      shown?.redraw(false);
    },
    range(from, to) {
      shown?.setScale("x", { min: from, max: to });
    },
  };
}

/** The custom property that holds a curve's colour. */
export const curveColour = (name: string): string => `curve-${name in dashes ? name.replace("_", "-") : name}`;

function h(label: string): HTMLElement {
  const root = document.createElement("figure");
  root.className = "plot";
  root.setAttribute("aria-hidden", "true"); // the slider, the moment and the table tell the same in words
  const caption = document.createElement("figcaption");
  caption.textContent = label;
  root.append(caption);
  return root;
}

const tapPixels = 6; // a finger that moves by less has not moved

/** Drag to move, pinch or ctrl and wheel to zoom, tap to choose. */
function listen(u: UPlot, handling: Handling): void {
  const fingers = new Map<number, number>(); // where each is, in pixels
  let begun: { from: number; to: number; x: number; gap: number } | null = null;
  let far = false;
  const place = (e: PointerEvent | WheelEvent) => e.clientX - u.over.getBoundingClientRect().left;
  const range = () => ({ from: u.scales.x?.min ?? 0, to: u.scales.x?.max ?? 1 });
  const middle = () => [...fingers.values()].reduce((a, b) => a + b, 0) / fingers.size;
  const gap = () => (fingers.size < 2 ? 0 : Math.max(...fingers.values()) - Math.min(...fingers.values()));
  const begin = () => { begun = fingers.size === 0 ? null : { ...range(), x: middle(), gap: gap() }; };

  function follow(settled: boolean): void {
    if (begun === null || fingers.size === 0) return;
    const length = (begun.to - begun.from) * (begun.gap > 20 && gap() > 20 ? begun.gap / gap() : 1);
    const held = begun.from + ((begun.to - begun.from) * begun.x) / u.over.clientWidth; // stays under the fingers
    const from = held - (length * middle()) / u.over.clientWidth;
    handling.range(from, from + length, settled);
  }
  u.over.addEventListener("pointerdown", (e) => {
    if (e.button !== 0) return;
    u.over.setPointerCapture(e.pointerId);
    if (fingers.size === 0) far = false;
    fingers.set(e.pointerId, place(e));
    begin();
  });
  u.over.addEventListener("pointermove", (e) => {
    if (!fingers.has(e.pointerId)) return;
    fingers.set(e.pointerId, place(e));
    far ||= fingers.size > 1 || Math.abs(middle() - (begun?.x ?? 0)) > tapPixels;
    if (far) follow(false);
  });
  const lift = (e: PointerEvent) => {
    if (!fingers.has(e.pointerId)) return;
    if (far && fingers.size === 1) follow(true);
    else if (!far && e.type === "pointerup") handling.choose(u.posToVal(place(e), "x"));
    fingers.delete(e.pointerId);
    begin();
  };
  u.over.addEventListener("pointerup", lift);
  u.over.addEventListener("pointercancel", lift);
  u.over.addEventListener("wheel", (e) => {
    if (!e.ctrlKey) return; // the page is being read
    e.preventDefault();
    const { from, to } = range();
    const around = u.posToVal(place(e), "x"), factor = Math.exp(Math.min(1, Math.max(-1, e.deltaY / 200)));
    handling.range(around - (around - from) * factor, around + (to - around) * factor, true);
  }, { passive: false });
}
