// The view of energy: heat from the sun and from the meter by day, month and year,
// what it saved, and what was promised.

import { h, say } from "../dom.ts";
import type { View, ViewPart } from "../frame.ts";
import { Asker, troubleOf } from "../past/ask.ts";
import { readPast, readSheet, type Past, type Sheet } from "../past/read.ts";
import { addressOf } from "../route.ts";
import { heat, kWh, money, partOf, percent, periodOf, ranFor, shortPeriodOf, texts } from "../texts.ts";
import { bars, sample } from "./bars.ts";
import { daysOf, neighbour, partsOf, readPeriod, secondsOf, writePeriod, type Period } from "./period.ts";
import { countsSun, promisedJ, savedMoney, solarShare, sumsOf, total, type Sum } from "./sums.ts";

export const energy: View = { name: "energy", words: texts.energy.words, make };

const lookAgainMs = 60_000;
const watchedFully = 0.97; // of a period: a restart is no gap

function make(): ViewPart {
  const asker = new Asker(), status = new Asker();
  let past: Past | null = null;
  let sheet: Sheet | null = null;
  let rest = "";
  let today = "";
  let system = ""; // all of them
  let askedMs = 0;
  let here = false;

  const trouble = h("p", { class: "trouble", role: "status" });
  const which = h("select", { id: "energy-system" });
  const whichLabel = h("label", { for: "energy-system" }, texts.past.system, " ", which);
  const kinds = h("ul");
  const before = h("a", {}, texts.energy.before), after = h("a", {}, texts.energy.after);
  const heading = h("h3");
  const summary = h("div", { class: "summary" });
  const picture = h("figure");
  const key = h("p", { class: "key" });
  const box = h("div", { class: "scrolls", tabindex: "0", role: "region", "aria-label": texts.energy.table });
  const notes = h("p", { class: "quiet" });
  const root = h("div", { class: "energy" }, trouble, whichLabel,
    h("nav", { "aria-label": texts.energy.periods }, kinds),
    h("div", { class: "steps" }, before, after), heading, summary, picture, key, box, notes);

  which.addEventListener("change", () => {
    system = which.value;
    draw();
  });
  let width = 0;
  new ResizeObserver(() => {
    if (picture.clientWidth !== width) draw();
    width = picture.clientWidth;
  }).observe(root);

  const link = (words: string, period: Period, current: boolean) =>
    h("li", {}, h("a", { href: addressOf({ name: "energy", rest: writePeriod(period) }), ...(current && { "aria-current": "true" }) }, words));

  async function look(): Promise<void> {
    const found = await status.ask("history", {}, readPast);
    if (found === undefined) return;
    if ("words" in found) {
      say(trouble, found.words);
      return;
    }
    past = found.value;
    say(trouble, troubleOf(past));
    const systems = [...new Set(past.series.map((s) => s.system))].filter((name) => name !== "");
    if (!systems.includes(system)) system = "";
    which.replaceChildren(h("option", { value: "" }, texts.energy.allSystems), ...systems.map((name) => h("option", { value: name }, name)));
    which.value = system;
    whichLabel.hidden = systems.length < 2;
    await load();
  }

  async function load(): Promise<void> {
    if (past === null) return;
    askedMs = performance.now();
    const period = readPeriod(rest, today);
    steer(period);
    if (past.series.length === 0) {
      sheet = null;
      draw();
      return;
    }
    const found = await asker.ask("history/energy", { ...daysOf(period, today), by: period.by }, readSheet);
    if (found === undefined) return;
    if ("words" in found) {
      say(trouble, found.words);
      return;
    }
    say(trouble, troubleOf(found.value));
    sheet = found.value;
    draw();
  }

  /** Ways to other periods. */
  function steer(period: Period): void {
    const year = period.by === "year" ? Number(today.slice(0, 4)) : period.year;
    const month = period.by === "day" ? period.month : Number(today.slice(5, 7));
    kinds.replaceChildren(
      link(texts.energy.byDay, { by: "day", year, month }, period.by === "day"),
      link(texts.energy.byMonth, { by: "month", year }, period.by === "month"),
      link(texts.energy.byYear, { by: "year" }, period.by === "year"));
    for (const [a, by] of [[before, -1], [after, 1]] as const) {
      const there = neighbour(period, by);
      a.href = addressOf({ name: "energy", rest: writePeriod(there) });
      a.hidden = period.by === "year" || (by === 1 && daysOf(there, today).from > today);
    }
    heading.textContent = period.by === "year" ? texts.energy.allYears : periodOf(daysOf(period, today).from, period.by === "day" ? "month" : "year");
  }

  function draw(): void {
    if (past === null) return;
    const period = readPeriod(rest, today);
    const sums = sheet === null ? [] : sumsOf(sheet, system);
    const none = sums.length === 0;
    picture.hidden = key.hidden = box.hidden = none;
    if (none) {
      summary.replaceChildren(h("p", {}, texts.energy.none));
      say(notes, "");
      return;
    }
    const sun = countsSun(past, system), price = past.price;
    const all = total(sums);
    summary.replaceChildren(...[summaryOf(all, sun), ...(price && sun ? [texts.energy.saved(money(savedMoney(all, price.per_kwh), price.currency, price.per_kwh), money(price.per_kwh, price.currency, price.per_kwh))] : []), promiseOf(period, all)]
      .filter((words) => words !== "").map((words) => h("p", {}, words)));
    const promised = (begin: string) =>
      past === null || period.by === "day" ? null : promisedJ(past, system, period.by === "month" ? Number(begin.slice(5, 7)) - 1 : null);
    const known = new Map(sums.map((one) => [one.begin, one]));
    const places = period.by === "year" ? sums.map((one) => one.begin) : partsOf(period);
    const list = places.map((begin) => {
      const one = known.get(begin);
      return { label: shortPeriodOf(begin, period.by), sunJ: one?.sunJ ?? 0, meterJ: one?.meterJ ?? 0, promisedJ: promised(begin) };
    });
    picture.replaceChildren(h("figcaption", { class: "quiet" }, texts.energy.axis), bars(list, `${heading.textContent}. ${summaryOf(all, sun)}`, picture.clientWidth));
    const named = (kind: Parameters<typeof sample>[0], words: string) => h("span", {}, sample(kind), words);
    key.replaceChildren(...(sun ? [named("from-sun", texts.energy.fromSun)] : []), named("from-meter", texts.energy.fromMeter),
      ...(list.some((b) => b.promisedJ !== null) ? [named("promise", texts.energy.promised)] : []));
    box.replaceChildren(tableOf(period, sums, sun, promised));
    say(notes, notesOf(sun, price !== null));
  }

  function promiseOf(period: Period, all: Sum): string {
    if (past === null || period.by === "year") return "";
    const promised = promisedJ(past, system, period.by === "day" ? period.month - 1 : null);
    if (promised === null) return "";
    const { from, to } = daysOf(period, today);
    return texts.energy.against(heat(promised), promised > 0 ? percent(all.sunJ / promised) : "", from <= today && today < to, period.by);
  }

  function tableOf(period: Period, sums: readonly Sum[], sun: boolean, promised: (begin: string) => number | null): HTMLElement {
    const price = past?.price ?? null;
    const plans = sums.map((one) => promised(one.begin));
    const planned = plans.some((plan) => plan !== null);
    const decimals = period.by === "day" ? 1 : 0;
    const columns = [
      ...(sun ? [texts.energy.sunColumn] : []), ...(planned ? [texts.energy.promisedColumn] : []), texts.energy.meterColumn,
      ...(sun ? [texts.energy.shareColumn] : []), ...(price && sun ? [texts.energy.savedColumn] : []),
    ];
    const row = (one: Sum, plan: number | null) => {
      const share = solarShare(one);
      const cells = [
        ...(sun ? [kWh(one.sunJ, decimals)] : []), ...(planned ? [plan === null ? texts.days.unknown : kWh(plan, decimals)] : []), kWh(one.meterJ, decimals),
        ...(sun ? [share === null ? texts.days.unknown : percent(share)] : []), ...(price && sun ? [money(savedMoney(one, price.per_kwh), "", price.per_kwh).trim()] : []),
      ];
      const span = secondsOf(one.begin, period.by);
      const under = today >= one.begin && secondsBetween(one.begin, today) < span; // still under way
      const short = !under && one.watchedSeconds < span * watchedFully;
      return h("tr", {},
        h("th", { scope: "row" }, partOf(one.begin, period.by), ...(short ? [h("span", { class: "quiet" }, texts.energy.watched(ranFor(one.watchedSeconds)))] : under ? [h("span", { class: "quiet" }, texts.energy.underWay)] : [])),
        ...cells.map((words) => h("td", {}, words)));
    };
    return h("table", {},
      h("caption", { class: "quiet" }, texts.energy.units(price && sun ? price.currency : "")),
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, texts.energy.column[period.by]), ...columns.map((words) => h("th", { scope: "col" }, words)))),
      h("tbody", {}, ...sums.map((one, i) => row(one, plans[i] ?? null))));
  }

  return {
    root,
    tell(news) {
      today = news.now.wall.local.slice(0, 10);
      const first = !here;
      here = true;
      if (first) void look();
      else if (past !== null && performance.now() - askedMs > lookAgainMs && document.visibilityState === "visible") {
        askedMs = performance.now();
        void look();
      }
    },
    go(next) {
      rest = next;
      if (past !== null) void load();
    },
    leave() {
      here = false;
      asker.drop();
      status.drop();
    },
  };
}

const secondsBetween = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 1000;

const summaryOf = (all: Sum, sun: boolean): string => {
  const share = solarShare(all);
  if (!sun) return texts.energy.meterOnly(heat(all.meterJ));
  return texts.energy.summary(heat(all.sunJ), heat(all.meterJ), share === null ? "" : percent(share));
};

const notesOf = (sun: boolean, price: boolean): string =>
  [sun ? texts.energy.shareNote : texts.energy.noSun, sun && price ? texts.energy.savedNote : "", sun && !price ? texts.energy.noPrice : ""]
    .filter((words) => words !== "").join(" ");
