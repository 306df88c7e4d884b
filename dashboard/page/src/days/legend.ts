// Names of curves, each with a piece of its line and its value at the chosen instant.

import { h, s, say } from "../dom.ts";
import { figure, measured } from "../texts.ts";
import type { Group } from "./curves.ts";
import { curveColour, dashOf } from "./plot.ts";

export interface Legend {
  readonly root: HTMLElement;
  tell(groups: Group["curves"], at: number | null, unit: string): void;
}

export function legend(): Legend {
  const root = h("ul", { class: "legend" });
  let before = "";
  let values: HTMLElement[] = [];
  return {
    root,
    tell(curves, at, unit) {
      const names = curves.map((c) => c.name + c.words).join();
      if (names !== before) {
        before = names;
        values = curves.map(() => h("span", { class: "value" }));
        root.replaceChildren(...curves.map((c, i) => h("li", {}, swatch(c.name), c.words, " ", values[i] ?? "")));
      }
      curves.forEach((c, i) => {
        const value = at === null ? null : (c.values[at] ?? null);
        const el = values[i];
        if (el) say(el, value === null ? "" : unit === "%" ? `${figure(value, 0)} %` : measured(value, unit));
      });
    },
  };
}

function swatch(name: string): SVGElement {
  return s("svg", { viewBox: "0 0 34 10", class: "swatch", "aria-hidden": "true" },
    s("line", { x1: "0", y1: "5", x2: "34", y2: "5", class: curveColour(name), "stroke-dasharray": dashOf(name).join(" ") || "none" }));
}
