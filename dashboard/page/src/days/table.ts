// The same as the curves in figures, for who does not look at curves.

import { h } from "../dom.ts";
import { Asker } from "../past/ask.ts";
import { readChart } from "../past/read.ts";
import { figure, shortInstantOf, texts } from "../texts.ts";
import { groupsOf, pointsOf } from "./curves.ts";
import type { Span } from "./range.ts";

const rows = 24;

export interface TablePart {
  readonly root: HTMLElement;
  show(span: Span, series: readonly string[], zone: string): void;
}

export function tablePart(): TablePart {
  const asker = new Asker();
  const box = h("div", { class: "scrolls", tabindex: "0", role: "region", "aria-label": texts.days.table });
  const root = h("details", {}, h("summary", {}, texts.days.table), box);
  let wanted: (() => Promise<void>) | null = null;
  root.addEventListener("toggle", () => { if (root.open) void wanted?.(); });
  return {
    root,
    show(span, series, zone) {
      wanted = async () => {
        const found = await asker.ask("history/chart", {
          from: new Date(span.from * 1000).toISOString(), to: new Date(span.to * 1000).toISOString(), points: String(rows), series,
        }, readChart);
        if (found === undefined) return;
        if ("words" in found) {
          box.replaceChildren(h("p", {}, found.words));
          return;
        }
        const groups = groupsOf(found.value);
        const curves = groups.flatMap((g) => g.curves.map((c) => ({ ...c, unit: texts.days.units[g.name], places: g.name === "outputs" ? 0 : 1 })));
        const at = pointsOf(found.value);
        box.replaceChildren(h("table", {},
          h("thead", {}, h("tr", {}, h("th", { scope: "col" }, texts.days.from),
            ...curves.map((c) => h("th", { scope: "col" }, `${c.words} (${c.unit})`)))),
          h("tbody", {}, ...at.flatMap((start, i) => (curves.every((c) => (c.values[i] ?? null) === null) ? [] : [
            h("tr", {}, h("th", { scope: "row" }, shortInstantOf(start, zone)),
              ...curves.map((c) => { const v = c.values[i] ?? null; return h("td", {}, v === null ? texts.days.unknown : figure(v, c.places)); })),
          ])))));
      };
      if (root.open) void wanted();
    },
  };
}
