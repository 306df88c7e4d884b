import type { Reading } from "../api.ts";
import { h, mark, quotes, say, type Part } from "../dom.ts";
import { translated } from "../reason.ts";
import { measured, nameOf, texts } from "../texts.ts";

const freshUpToSeconds = 15;

/** A reading, with the age of the news that brought it. */
export interface ReadingNews {
  readonly reading: Reading;
  readonly newsAgeSeconds: number;
}

/** A reading as a line of the ledger: place, value, age and quality in words. */
export const readingRow = {
  key: ({ reading }: ReadingNews): string => reading.place,
  make: ({ reading }: ReadingNews): Part<ReadingNews> => {
    const value = h("span", { class: "value" });
    const age = h("span", { class: "age" });
    const why = h("dd", { class: "why" });
    const root = h("div", {},
      h("dt", {}, nameOf(texts.places, reading.place, reading.words)),
      h("dd", {}, value, " ", age),
      why);
    return {
      root,
      tell(news) {
        const now = news.reading;
        mark(root, "data-quality", now.quality);
        say(value, valueText(now));
        say(age, ageText(now, news.newsAgeSeconds));
        const own = now.why === null ? undefined : translated(now.why);
        say(why, texts.readings.why(now.why === null || own === undefined ? now : { ...now, why: { ...now.why, text: own } }));
        quotes(why, now.why !== null && own === undefined);
      },
    };
  },
};

function valueText(r: Reading): string {
  if (r.value === null) return texts.readings.none;
  return r.quality === "good" ? measured(r.value, r.unit) : texts.readings.doubted(r.value, r.unit);
}

function ageText(r: Reading, newsAgeSeconds: number): string {
  if (r.age_seconds === null) return "";
  const seconds = r.age_seconds + newsAgeSeconds;
  if (r.quality === "good" && r.held_over) return texts.readings.heldOver(seconds);
  const age = seconds <= freshUpToSeconds ? texts.readings.fresh : texts.readings.age(seconds);
  const quality = texts.readings.quality[r.quality];
  return quality === "" ? age : `${quality}, ${age}`;
}
