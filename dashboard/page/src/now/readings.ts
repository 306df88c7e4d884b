import type { Reading } from "../api.ts";
import { h, mark, say, type Part } from "../dom.ts";
import { degrees, texts } from "../texts.ts";

const freshUpToSeconds = 15;

/** A reading as a line of the ledger: place, value, age and quality in words. */
export const readingRow = {
  key: (r: Reading): string => r.place,
  make: (r: Reading): Part<Reading> => {
    const value = h("span", { class: "value" });
    const age = h("span", { class: "age" });
    const why = h("dd", { class: "why" });
    const root = h("div", {},
      h("dt", {}, r.words),
      h("dd", {}, value, " ", age),
      why);
    return {
      root,
      tell(now) {
        mark(root, "data-quality", now.quality);
        say(value, valueText(now));
        say(age, ageText(now));
        say(why, texts.readings.why(now));
      },
    };
  },
};

function valueText(r: Reading): string {
  if (r.value_c === null) return texts.readings.none;
  return r.quality === "good" ? degrees(r.value_c) : texts.readings.doubted(r.value_c);
}

function ageText(r: Reading): string {
  const parts: string[] = [];
  if (r.quality !== "good" && r.value_c !== null) parts.push(texts.readings.quality[r.quality]);
  if (r.age_seconds !== null) {
    parts.push(r.age_seconds <= freshUpToSeconds ? texts.readings.fresh : texts.readings.age(r.age_seconds));
  }
  return parts.join(", ");
}
