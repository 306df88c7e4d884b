// The installer's view: raw readings, what every output was decided by, outputs by
// hand, service state, settings, and the site file. What who looks may not do is
// said, never hidden.

import { h, Parts } from "../dom.ts";
import type { LiveNews, View, ViewPart } from "../frame.ts";
import { texts } from "../texts.ts";
import { personPart } from "./person.ts";
import { plantPart, type PlantNews } from "./plant.ts";
import { rawRow, type RawNews } from "./raw.ts";
import { servicePart } from "./service.ts";
import { settingsPart } from "./settings.ts";

export const installer: View = {
  name: "installer",
  words: texts.installer.words,
  make,
};

/** What who looks may do here just now. */
export interface Leave {
  readonly install: boolean; // and is heard
  readonly word: string; // why not; empty when so
}

export function leaveOf({ may, line }: LiveNews): Leave {
  const word = may !== "install" ? texts.installer.mayNot[may] : line !== "live" ? texts.installer.unheard : "";
  return { install: word === "", word };
}

function make(): ViewPart {
  const person = personPart();
  const service = servicePart();
  const plants = h("div", { class: "plants" });
  const houseRows = h("dl", { class: "ledger" });
  const house = h("section", { "aria-labelledby": "raw-house" }, h("h3", { id: "raw-house" }, texts.readings.houseHeading), houseRows);
  const settings = settingsPart();
  const plantParts = new Parts<PlantNews>(plants, (n) => n.system.name, (n) => plantPart(n));
  const houseParts = new Parts<RawNews>(houseRows, rawRow.key, rawRow.make);
  return {
    root: h("div", { class: "installer" }, person.root, service.root, plants, house, settings.root),
    go: () => settings.read(),
    tell(news) {
      const { now } = news;
      const leave = leaveOf(news);
      person.tell(news);
      service.tell({ on: now.servicing, leave });
      plantParts.tell(now.systems.map((system, i) => ({ system, number: i, wall: now.wall, newsAgeSeconds: news.ageSeconds, leave })));
      house.hidden = now.readings.length === 0;
      houseParts.tell(now.readings.map((reading) => ({ reading, newsAgeSeconds: news.ageSeconds })));
      settings.tell(leave);
    },
  };
}
