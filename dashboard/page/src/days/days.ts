// The view of days: temperatures, heat and what ran, over hours to years, and what
// was decided at a chosen instant.

import { h, say } from "../dom.ts";
import type { View, ViewPart } from "../frame.ts";
import { Asker, troubleOf } from "../past/ask.ts";
import { readChart, readPast, type Past } from "../past/read.ts";
import { addressOf } from "../route.ts";
import { instantOf, measured, texts } from "../texts.ts";
import { groupsOf, pointsOf, wantedOf, type Group } from "./curves.ts";
import { legend } from "./legend.ts";
import { momentPart } from "./moment.ts";
import { plot, type Handling } from "./plot.ts";
import { moved, newest, readShown, writeShown, zoomed, type Shown, type Span } from "./range.ts";
import { tablePart } from "./table.ts";

export const days: View = { name: "days", words: texts.days.words, make };

const points = 400;
const leastPauseMs = 5_000; // between two looks at what is newest
const firstPauseMs = 20_000; // between two looks whether anything is kept by now

function make(): ViewPart {
  const asker = new Asker(), status = new Asker();
  let past: Past | null = null;
  let zone = "UTC";
  let now = 0; // of the house, seconds since 1970
  let shown: Shown = readShown("");
  let system = "";
  let at: number[] = [];
  let groups: Group[] = [];
  let asked = { to: 0, ms: 0 };
  let here = false;

  const trouble = h("p", { class: "trouble", role: "status" });
  const which = h("select", { id: "days-system" });
  const whichLabel = h("label", { for: "days-system" }, texts.past.system, " ", which);
  const told = h("p", { class: "told", role: "status" });
  const buttons = Object.keys(newest).map((name) => {
    const root = h("a", { href: addressOf({ name: "days", rest: name }) }, texts.days.newest[name as keyof typeof newest]);
    return { seconds: newest[name as keyof typeof newest], root };
  });
  const press = (words: string, act: () => void) => {
    const b = h("button", { type: "button" }, words);
    b.addEventListener("click", act);
    return b;
  };
  const slider = h("input", { type: "range", id: "instant", min: "0", step: "1", class: "instant" });
  const handling: Handling = {
    choose,
    range(from, to, settled) {
      const span = held({ from, to });
      for (const p of Object.values(plots)) p.part.range(span.from, span.to);
      if (settled) go({ newest: null, span, chosen: shown.chosen });
    },
  };
  const group = (height: "tall" | "low", name: Group["name"], least: readonly [number, number]) => {
    const part = plot(texts.days.groups[name], texts.days.units[name], height, least, handling);
    const names = legend();
    return { part, names, root: h("div", { class: "group" }, part.root, names.root) };
  };
  const plots = {
    temperatures: group("tall", "temperatures", [0, 60]),
    heat: group("low", "heat", [0, 1]),
    outputs: group("low", "outputs", [0, 100]),
  };
  const moment = momentPart(), table = tablePart();
  const chart = h("div", { class: "chart" }, ...Object.values(plots).map((p) => p.root),
    h("p", { class: "pick" }, h("label", { for: "instant" }, texts.days.instant), slider, h("span", { class: "quiet" }, texts.days.hint)));
  const root = h("div", { class: "lived" },
    trouble, whichLabel,
    h("nav", { "aria-label": texts.days.ranges }, h("ul", {}, ...buttons.map((b) => h("li", {}, b.root)))),
    h("div", { class: "steps" },
      press(texts.days.earlier, () => step((span) => moved(span, -0.5))),
      press(texts.days.later, () => step((span) => moved(span, 0.5))),
      press(texts.days.closer, () => step((span) => zoomed(span, 0.5, around(span)))),
      press(texts.days.wider, () => step((span) => zoomed(span, 2, around(span))))),
    told, chart, moment.root, table.root);

  slider.addEventListener("input", () => {
    const chosen = at[Number(slider.value)];
    if (chosen !== undefined) choose(chosen);
  });
  slider.addEventListener("keydown", (e) => {
    if (e.key === "+" || e.key === "-") step((span) => zoomed(span, e.key === "+" ? 0.5 : 2, around(span)));
  });
  which.addEventListener("change", () => {
    system = which.value;
    void load();
  });

  const spanNow = (): Span => shown.span ?? { from: now - (shown.newest ?? 0), to: now };
  const around = ({ from, to }: Span): number =>
    shown.chosen !== null && shown.chosen > from && shown.chosen < to ? shown.chosen : (from + to) / 2;

  /** A span no part of which lies far ahead of the house. */
  function held(span: Span): Span {
    const over = span.to - (now + (span.to - span.from) * 0.02);
    return over > 0 && over < span.to - span.from ? { from: span.from - over, to: span.to - over } : span;
  }

  function step(change: (span: Span) => Span): void {
    go({ newest: null, span: held(change(spanNow())), chosen: shown.chosen });
  }

  function go(next: Shown): void {
    location.hash = addressOf({ name: "days", rest: writeShown(next) });
  }

  function choose(instant: number): void {
    shown = { ...shown, chosen: Math.round(instant / 60) * 60 };
    history.replaceState(null, "", addressOf({ name: "days", rest: writeShown(shown) }));
    showChosen();
  }

  /** The point that holds the chosen instant. */
  function place(): number | null {
    if (shown.chosen === null) return null;
    const instant = shown.chosen;
    const next = at.findIndex((start) => start > instant);
    const found = (next < 0 ? at.length : next) - 1;
    return found < 0 ? null : found;
  }

  function showChosen(): void {
    const found = place();
    slider.value = String(found ?? Math.max(0, at.length - 1));
    for (const g of groups) plots[g.name].names.tell(g.curves, found, texts.days.units[g.name]);
    for (const p of Object.values(plots)) p.part.mark(shown.chosen);
    slider.setAttribute("aria-valuetext", found === null || shown.chosen === null ? texts.days.nothingChosen : [
      instantOf(shown.chosen, zone),
      ...(groups[0]?.curves ?? []).map((c) => { const v = c.values[found] ?? null; return v === null ? "" : `${c.words} ${measured(v, "°C")}`; }),
    ].filter((words) => words !== "").join(", "));
    moment.show(shown.chosen, system, zone);
  }

  /** Looks at what is newest, when there may be something new to see. */
  function follow(): void {
    const sinceMs = performance.now() - asked.ms;
    if (past === null) return;
    if (past.series.length === 0) {
      if (sinceMs > firstPauseMs) void look();
      return;
    }
    if (shown.newest !== null && now - asked.to > shown.newest / points && sinceMs > leastPauseMs) void load();
  }

  async function look(): Promise<void> {
    asked = { to: now, ms: performance.now() };
    const found = await status.ask("history", {}, readPast);
    if (found === undefined) return;
    if ("words" in found) {
      say(trouble, found.words);
      return;
    }
    past = found.value;
    zone = past.zone;
    say(trouble, troubleOf(past));
    const systems = [...new Set(past.series.map((s) => s.system))].filter((name) => name !== "");
    if (!systems.includes(system)) system = systems[0] ?? "";
    which.replaceChildren(...systems.map((name) => h("option", name === system ? { value: name, selected: "" } : { value: name }, name)));
    whichLabel.hidden = systems.length < 2;
    const empty = past.series.length === 0;
    chart.hidden = table.root.hidden = empty;
    if (empty) say(told, past.kept && past.trouble === "" ? texts.days.nothingYet : "");
    await load();
  }

  async function load(): Promise<void> {
    if (past === null || past.series.length === 0 || now === 0) return;
    const span = spanNow();
    asked = { to: now, ms: performance.now() };
    const series = wantedOf(past.series, system).map((s) => s.series);
    const found = await asker.ask("history/chart", {
      from: new Date(span.from * 1000).toISOString(), to: new Date(span.to * 1000).toISOString(), points: String(points), series,
    }, readChart);
    if (found === undefined) return;
    if ("words" in found) {
      say(trouble, found.words);
      return;
    }
    say(trouble, troubleOf(found.value));
    at = pointsOf(found.value);
    groups = groupsOf(found.value);
    slider.max = String(Math.max(0, at.length - 1));
    say(told, texts.days.told(instantOf(span.from, zone), instantOf(span.to, zone), found.value.starts.length === 0));
    for (const [name, p] of Object.entries(plots)) {
      const g = groups.find((one) => one.name === name);
      p.root.hidden = g === undefined;
      if (g) p.part.show({ at, curves: g.curves, from: span.from, to: span.to, zone });
    }
    table.show(span, series, zone);
    showChosen();
  }

  return {
    root,
    tell(news) {
      now = Date.parse(news.now.wall.local) / 1000;
      const first = !here;
      here = true;
      if (first) void look();
      else if (document.visibilityState === "visible") follow();
    },
    go(rest) {
      shown = readShown(rest);
      for (const b of buttons) {
        if (shown.newest === b.seconds) b.root.setAttribute("aria-current", "true");
        else b.root.removeAttribute("aria-current");
      }
      if (past !== null) void load();
    },
    leave() {
      here = false;
      asker.drop();
      status.drop();
    },
  };
}
