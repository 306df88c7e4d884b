import type { Reading, System } from "../api.ts";
import { h, mark, Parts, say, type Part } from "../dom.ts";
import { degrees, scaldingFromC, texts, waterWord } from "../texts.ts";
import { drawing } from "./drawing.ts";
import { outputRow } from "./outputs.ts";
import { output, reading } from "./pick.ts";
import { readingRow } from "./readings.ts";

export interface SystemNews {
  readonly system: System;
  readonly outdoor: Reading | undefined;
  readonly several: boolean; // there are others, so that a name is needed
}

/** One collector field with its tank. */
export function systemPart(): Part<SystemNews> {
  const name = h("h2", { class: "name" });
  const figure = h("span", { class: "figure" });
  const word = h("span", { class: "word" });
  const caption = h("p", { class: "caption" });
  const scalding = h("p", { class: "scalding" });
  const heating = h("p", { class: "heating" });
  const because = h("p", { class: "because" });
  const plant = drawing();
  const readings = h("dl", { class: "ledger" });
  const outputs = h("dl", { class: "ledger" });
  const readingParts = new Parts(readings, readingRow.key, readingRow.make);
  const outputParts = new Parts(outputs, outputRow.key, outputRow.make);
  const root = h("article", { class: "system" },
    name,
    h("div", { class: "water" }, h("p", { class: "hot" }, figure, " ", word), caption, heating, because, scalding),
    h("figure", {}, plant.root, h("figcaption", { class: "quiet" }, texts.drawing.layers)),
    h("section", { class: "readings" }, h("h3", {}, texts.readings.heading), readings),
    h("section", { class: "outputs" }, h("h3", {}, texts.outputs.heading), outputs));
  return {
    root,
    tell(news) {
      const { system } = news;
      const top = reading(system, "tank_top");
      say(name, news.several ? system.name : "");
      mark(root, "aria-label", system.name);
      say(figure, top === null ? texts.water.unknown : degrees(top));
      say(word, top === null ? "" : waterWord(top));
      say(caption, captionText(system, top));
      say(scalding, mayScald(system) ? texts.scalding : "");
      say(heating, texts.heating(system.heat_from_sun, system.heat_from_meter));
      say(because, becauseText(system));
      plant.tell(news);
      readingParts.tell(system.readings);
      outputParts.tell(system.outputs);
    },
  };
}

function captionText(system: System, top: number | null): string {
  if (top !== null) return texts.water.caption;
  const bottom = reading(system, "tank_bottom");
  return texts.water.unknownCaption + (bottom === null ? "" : " " + texts.water.bottomInstead(bottom));
}

/** Whatever a tank probe says, believed or not, is reason enough to warn. */
function mayScald(system: System): boolean {
  return system.readings.some((r) => r.place.startsWith("tank_") && r.value_c !== null && r.value_c > scaldingFromC);
}

/** Why the water is heated, or why it is not, in the controller's own reason. */
function becauseText(system: System): string {
  const pump = output(system, "loop_pump");
  const heater = output(system, "backup_heater");
  const chosen = system.heat_from_meter === "yes" && system.heat_from_sun !== "yes" ? heater : (pump ?? heater);
  const why = chosen === undefined ? "" : texts.becauseOf(chosen.words, chosen.reason.text);
  return system.loop === "natural" ? `${texts.natural} ${why}`.trim() : why;
}
