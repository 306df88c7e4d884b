import type { Now, Output, Reading, System } from "../api.ts";
import { h, mark, Parts, say, type Part } from "../dom.ts";
import { sayReason } from "../reason.ts";
import { degrees, nameOf, texts, wellSet } from "../texts.ts";
import { scaldingFromC, waterLeft, waterWord } from "../water.ts";
import { drawing } from "./drawing.ts";
import { next } from "./next.ts";
import { outputRow } from "./outputs.ts";
import { output, reading } from "./pick.ts";
import { readingRow } from "./readings.ts";
import { boostPart } from "./wishes.ts";

export interface SystemNews {
  readonly system: System;
  readonly outdoor: Reading | undefined;
  readonly house: readonly Reading[]; // the house's readings, if they are shown with this system
  readonly live: boolean; // false when all this is only what was last known
  readonly newsAgeSeconds: number;
  readonly now: Now;
  readonly mayUse: boolean; // who looks may ask for hot water now, and is heard
  readonly several: boolean; // there are others, so that a name is needed
}

/** One collector field with its tank. */
export function systemPart(): Part<SystemNews> {
  const name = h("h3");
  const figure = h("span", { class: "figure" });
  const word = h("span", { class: "word" });
  const caption = h("p", { class: "caption" });
  const scalding = h("p", { class: "scalding" });
  const left = h("p", { class: "left" });
  const heating = h("p", { class: "heating" });
  const turns = h("span");
  const what = h("span");
  const why = h("span");
  const because = h("p", { class: "because" }, turns, " ", what, " ", why);
  const following = h("p", { class: "next" });
  const boost = boostPart();
  const plant = drawing();
  const layers = h("figcaption", { class: "quiet" });
  const readings = h("dl", { class: "ledger" });
  const outputs = h("dl", { class: "ledger" });
  const readingParts = new Parts(readings, readingRow.key, readingRow.make);
  const outputParts = new Parts(outputs, outputRow.key, outputRow.make);
  const readingsBox = h("section", { class: "readings" }, h("h4", {}, texts.readings.heading), readings);
  const outputsBox = h("section", { class: "outputs" }, h("h4", {}, texts.outputs.heading), outputs);
  const root = h("article", { class: "system" },
    h("div", { class: "water" }, name, h("p", { class: "hot" }, figure, " ", word), caption, left, heating, because, following, scalding, boost.root),
    h("figure", {}, plant.root, layers),
    readingsBox, outputsBox);
  return {
    root,
    tell(news) {
      const { system } = news;
      const top = reading(system, "tank_top");
      say(name, system.name);
      mark(name, "class", news.several ? "name" : "unseen");
      say(figure, top === null ? texts.water.unknown : degrees(top));
      say(word, top === null ? "" : waterWord(top));
      say(caption, captionText(news, top));
      say(scalding, mayScald(system) ? texts.scalding : "");
      const state = texts.heating(system.heat_from_sun, system.heat_from_meter);
      say(heating, news.live ? state : texts.lastKnown(state));
      const chosen = decisive(system);
      say(turns, system.loop === "natural" ? texts.natural : "");
      say(what, chosen === undefined ? "" : texts.because(nameOf(texts.actuators, chosen.actuator, chosen.words)));
      if (chosen === undefined) say(why, "");
      else sayReason(why, chosen.reason, (words) => `${wellSet(words)}.`);
      say(left, news.live ? leftText(system) : "");
      say(following, news.live ? next(system, news.now).join(" ") : "");
      boost.tell({ system, may: news.mayUse });
      plant.tell(news);
      say(layers, texts.drawing.layers[layersKnown(top, reading(system, "tank_bottom"))]);
      readingsBox.hidden = system.readings.length + news.house.length === 0;
      outputsBox.hidden = system.outputs.length === 0;
      readingParts.tell([...system.readings, ...news.house].map((r) =>
        ({ reading: r, newsAgeSeconds: news.newsAgeSeconds })));
      outputParts.tell(system.outputs);
    },
  };
}

function captionText({ system, live }: SystemNews, top: number | null): string {
  const heldOver = system.readings.some((r) => r.place === "tank_top" && r.held_over);
  if (top !== null) return live && !heldOver ? texts.water.caption : texts.water.captionOld;
  const bottom = reading(system, "tank_bottom");
  return texts.water.unknownCaption + (bottom === null ? "" : " " + texts.water.bottomInstead(bottom));
}

function leftText(system: System): string {
  const left = waterLeft(system);
  return left === null ? "" : texts.water.left(left.litres, system.tap_c, left.showers);
}

/** Whatever a tank probe says, believed or not, is reason enough to warn. */
function mayScald(system: System): boolean {
  return system.readings.some((r) => r.place.startsWith("tank_") && r.value !== null && r.value > scaldingFromC);
}

/** The output whose reason tells why the water is heated, or why it is not. */
function decisive(system: System): Output | undefined {
  const pump = output(system, "loop_pump");
  const heater = output(system, "backup_heater");
  return system.heat_from_meter === "yes" && system.heat_from_sun !== "yes" ? heater : (pump ?? heater);
}

function layersKnown(top: number | null, bottom: number | null): keyof typeof texts.drawing.layers {
  if (top !== null && bottom !== null) return "two";
  return top === null && bottom === null ? "none" : "one";
}
