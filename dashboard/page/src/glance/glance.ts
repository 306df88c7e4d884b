// The view at a glance: how hot the water is, how much of it is left, what heats
// it and why, what happens next; and what people in the house may ask for.

import type { System } from "../api.ts";
import { h, Parts } from "../dom.ts";
import type { View, ViewPart } from "../frame.ts";
import { degrees, texts } from "../texts.ts";
import { waterWord } from "../water.ts";
import { readingRow } from "./readings.ts";
import { reading } from "./pick.ts";
import { systemPart, type SystemNews } from "./system.ts";
import { troubles } from "./troubles.ts";
import { holidayPart } from "./wishes.ts";

export const glance: View = {
  name: "glance",
  words: texts.glance.words,
  heading: (now) => now.systems.map(inShort).join(", "),
  make,
};

function make(): ViewPart {
  const wrong = troubles();
  const systems = h("div", { class: "systems" });
  const house = h("section", { class: "house", "aria-labelledby": "house" },
    h("h3", { id: "house" }, texts.readings.houseHeading));
  const houseRows = h("dl", { class: "ledger" });
  house.append(houseRows);
  const holiday = holidayPart();
  const systemParts = new Parts<SystemNews>(systems, (n) => n.system.name, () => systemPart());
  const houseParts = new Parts(houseRows, readingRow.key, readingRow.make);
  return {
    root: h("div", {}, wrong.root, systems, holiday.root, house),
    tell(news) {
      const { now } = news;
      const several = now.systems.length > 1;
      const live = news.line === "live";
      const mayUse = news.may !== "see" && live;
      wrong.tell(news);
      holiday.tell({ now, may: mayUse });
      const outdoor = now.readings.find((r) => r.place === "outdoor_air");
      systemParts.tell(now.systems.map((system) => ({
        system, outdoor, several, house: several ? [] : now.readings,
        live, newsAgeSeconds: news.ageSeconds, now, mayUse,
      })));
      house.hidden = !several || now.readings.length === 0;
      houseParts.tell(now.readings.map((r) => ({ reading: r, newsAgeSeconds: news.ageSeconds })));
    },
  };
}

function inShort(system: System): string {
  const top = reading(system, "tank_top");
  if (top === null) return texts.water.unknown;
  return `${degrees(top)} ${waterWord(top)}`;
}
