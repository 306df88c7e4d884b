// Which curves there are of a system, out of what its history keeps.

import type { Chart, Line, Series } from "../past/read.ts";
import { nameOf, texts } from "../texts.ts";
import { dashes, type Curve } from "./plot.ts";

export interface Group {
  readonly name: "temperatures" | "heat" | "outputs";
  readonly curves: readonly Curve[];
}

const order = ["tank_top", "tank_bottom", "collector", "outdoor_air"];
const heats = ["sun_heat", "meter_heat"];

/** The series that the days show of a system, with those of the house. */
export function wantedOf(all: readonly Series[], system: string): Series[] {
  return all.filter((s) => (s.system === system || s.system === "") && (s.unit === "°C" || heats.includes(s.name) || isLevel(s)));
}

const isLevel = (s: Series): boolean => s.unit === "" && !s.sum && s.words !== "" && s.name !== "circulation_button";

const names = { ...texts.places, ...texts.actuators, ...texts.past.series };

/** A series in words; what is newer than this page keeps the program's own. */
export const wordsOf = (s: { readonly name: string; readonly words: string }): string =>
  nameOf(names, s.name, s.words || s.name.replace(/_/g, " "));

/** A chart as curves in groups, each with its own axis. */
export function groupsOf(chart: Chart): Group[] {
  const rank = (l: Line) => (order.indexOf(l.name) + order.length) % order.length + (order.includes(l.name) ? 0 : order.length);
  const temperatures = chart.lines.filter((l) => l.unit === "°C").sort((a, b) => rank(a) - rank(b));
  let others = 0;
  const named = (l: Line) => (l.name in dashes ? l.name : `${++others % 5 || 1}`);
  const curve = (l: Line, change: Partial<Curve>): Curve =>
    ({ name: named(l), words: wordsOf(l), values: withGaps(chart, l.mean), ...change });
  const groups: Group[] = [
    { name: "temperatures", curves: temperatures.map((l) => curve(l, l.name === "tank_top" ? { low: withGaps(chart, l.low), high: withGaps(chart, l.high) } : {})) },
    {
      name: "heat",
      curves: chart.lines.filter((l) => heats.includes(l.name))
        .map((l) => curve(l, { values: withGaps(chart, l.amount.map((j) => (j === null ? null : j / chart.span_seconds / 1000))), steps: true })),
    },
    {
      name: "outputs",
      curves: chart.lines.filter(isLevel)
        .map((l) => curve(l, { values: withGaps(chart, l.mean.map((v) => (v === null ? null : v * 100))), steps: true })),
    },
  ];
  return groups.filter((g) => g.curves.length > 0);
}

/** Where the points are: their beginnings, and one without a value where the program did not run. */
export function pointsOf({ starts, span_seconds: span }: Chart): number[] {
  return starts.flatMap((start, i) => {
    const next = starts[i + 1];
    return next === undefined || next - start > span * 1.5 ? [start, start + span] : [start];
  });
}

function withGaps({ starts, span_seconds: span }: Chart, values: readonly (number | null)[]): (number | null)[] {
  return values.flatMap((value, i) => {
    const next = starts[i + 1];
    return next === undefined || next - (starts[i] ?? 0) > span * 1.5 ? [value, null] : [value];
  });
}
