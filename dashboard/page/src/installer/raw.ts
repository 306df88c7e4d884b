// A reading as it came: value, quality, age, kind of probe, raw bytes, fault.

import type { Reading } from "../api.ts";
import { h, mark, say, type Part } from "../dom.ts";
import { translated } from "../reason.ts";
import { measured, nameOf, sentence, texts } from "../texts.ts";

export interface RawNews {
  readonly reading: Reading;
  readonly newsAgeSeconds: number;
}

export const rawRow = {
  key: ({ reading }: RawNews): string => reading.place,
  make: ({ reading }: RawNews): Part<RawNews> => {
    const value = h("span", { class: "value" });
    const age = h("span", { class: "age" });
    const came = h("dd", { class: "came" });
    const why = h("dd", { class: "why" });
    const root = h("div", {}, h("dt", {}, nameOf(texts.places, reading.place, reading.words)), h("dd", {}, value, " ", age), came, why);
    return {
      root,
      tell({ reading: r, newsAgeSeconds }) {
        mark(root, "data-quality", r.quality);
        say(value, r.value === null ? texts.readings.none : measured(r.value, r.unit));
        say(age, r.age_seconds === null ? "" : texts.readings.age(r.age_seconds + newsAgeSeconds));
        say(came, texts.installer.came(texts.installer.quality(r.quality, r.held_over), r.probe_kind, r.raw));
        say(why, [r.why === null ? "" : sentence(translated(r.why) ?? r.why.text), r.fault === "" ? "" : texts.installer.fault(r.fault)].join(" ").trim());
      },
    };
  },
};
