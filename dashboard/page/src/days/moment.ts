// What was measured and what was decided at a chosen instant, and why.

import { english, h } from "../dom.ts";
import { Asker } from "../past/ask.ts";
import { readMoment, type Happened, type Moment } from "../past/read.ts";
import { figure, instantOf, measured, nameOf, sentence, shortInstantOf, texts } from "../texts.ts";
import { wordsOf } from "./curves.ts";

const pauseMs = 200; // while somebody still moves on

export interface MomentPart {
  readonly root: HTMLElement;
  show(at: number | null, system: string, zone: string): void;
}

export function momentPart(): MomentPart {
  const asker = new Asker();
  const heading = h("h3", { id: "moment" });
  const body = h("div");
  const root = h("section", { class: "moment", "aria-labelledby": "moment" }, heading, body);
  root.hidden = true;
  let timer = 0;
  return {
    root,
    show(at, system, zone) {
      window.clearTimeout(timer);
      root.hidden = at === null;
      if (at === null) {
        asker.drop();
        return;
      }
      heading.textContent = texts.days.momentHeading(instantOf(at, zone));
      timer = window.setTimeout(async () => {
        const found = await asker.ask("history/moment", { at: new Date(at * 1000).toISOString() }, readMoment);
        if (found === undefined) return;
        body.replaceChildren(...("words" in found ? [h("p", {}, found.words)] : contentOf(found.value, system, zone)));
      }, pauseMs);
    },
  };
}

function contentOf(m: Moment, system: string, zone: string): HTMLElement[] {
  if (m.start === null) {
    const at = (text: string | null) => (text === null ? "" : instantOf(Date.parse(text) / 1000, zone));
    return [h("p", {}, texts.days.notWatched(at(m.before), at(m.after)))];
  }
  const ours = (x: { readonly system: string }) => x.system === system || x.system === "";
  const readings = m.figures.filter((f) => ours(f) && !f.sum && f.words !== "" && f.unit !== "").map((f) =>
    h("div", {}, h("dt", {}, wordsOf(f)), h("dd", { class: "value" },
      f.mean === null ? texts.readings.none : measured(f.mean, f.unit) + spread(f.low, f.high, f.unit))));
  const heat = m.figures.filter((f) => ours(f) && f.unit === "l" && f.mean !== null)
    .map((f) => h("div", {}, h("dt", {}, wordsOf(f)), h("dd", { class: "value" }, measured(f.mean ?? 0, "l"))));
  const parts: HTMLElement[] = [
    h("h4", {}, texts.days.decided),
    h("dl", { class: "ledger decisions" }, ...m.decisions.filter(ours).map((e) => decisionPart(e, zone))),
  ];
  const overrides = m.overrides.filter(ours);
  if (overrides.length > 0) parts.push(h("p", {}, texts.days.overridden(overrides.map(partOf).join(", "))));
  if (m.findings.length > 0) {
    parts.push(h("h4", {}, texts.days.found),
      h("ul", { class: "plain" }, ...m.findings.map((e) => h("li", english, h("b", {}, e.what_words), " ", sentence(e.text)))));
  }
  parts.push(h("h4", {}, texts.days.measured(m.span_seconds)), h("dl", { class: "ledger" }, ...readings, ...heat));
  if (!m.sure) parts.push(h("p", { class: "quiet" }, texts.days.unsure));
  return parts;
}

const partOf = (e: Happened): string => wordsOf({ name: e.part, words: e.part_words });

function spread(low: number | null, high: number | null, unit: string): string {
  if (low === null || high === null || high - low < 0.2) return "";
  return ` (${figure(low, 1)} … ${measured(high, unit)})`;
}

function decisionPart(e: Happened, zone: string): HTMLElement {
  return h("div", {},
    h("dt", {}, partOf(e)),
    h("dd", { class: "value" }, texts.days.level(e.part, e.level_ratio)),
    h("dd", { class: "story" }, texts.days.decision(shortInstantOf(Date.parse(e.time) / 1000, zone), nameOf(texts.outputs.rank, e.rank, e.rank)), h("span", english, e.text)));
}
