// The view on the wall: an old tablet, or a small screen by the tank, that shows
// how hot the water is to whoever passes. It works for days: it keeps no timers
// of its own, adds nothing to the document as time goes by, never keeps a screen
// awake, and moves a little every minute so that nothing burns into the screen.

import type { Now, System } from "../api.ts";
import { h, mark, Parts, say, type Part } from "../dom.ts";
import { headline } from "../findings/finding.ts";
import type { LiveNews, View, ViewPart } from "../frame.ts";
import { reading } from "../glance/pick.ts";
import { clockOf, houseTime, span, texts } from "../texts.ts";
import { waterLeft, waterWord } from "../water.ts";

export const wall: View = {
  name: "wall",
  words: texts.wall.words,
  whole: true,
  make,
};

const places = 8; // where the whole may stand; wall.css has them
const minuteMs = 60_000;

function make(): ViewPart {
  const systems = h("div", { class: "tanks" });
  const trouble = h("p", { class: "worst" });
  const clock = h("span");
  const fill = h("button", { type: "button" }, texts.wall.fill);
  const foot = h("p", { class: "out" }, clock, h("a", { href: "#glance" }, texts.wall.back), fill);
  const root = h("div", { class: "wall" }, systems, trouble, foot);
  const parts = new Parts<TankNews>(systems, (n) => n.system.name, () => tank());
  fill.addEventListener("click", () => void document.documentElement.requestFullscreen().catch(() => undefined));
  const leaveByKey = (e: KeyboardEvent) => {
    if (e.key === "Escape") location.hash = "#glance";
  };
  return {
    root,
    go: () => document.addEventListener("keydown", leaveByKey),
    leave() {
      document.removeEventListener("keydown", leaveByKey);
      if (document.fullscreenElement !== null) void document.exitFullscreen();
    },
    tell(news) {
      const { now } = news;
      mark(root, "data-place", String(Math.floor(performance.now() / minuteMs) % places));
      mark(root, "data-light", lightOf(now));
      mark(root, "data-line", news.line);
      mark(systems, "data-tanks", String(Math.min(now.systems.length, 3)));
      parts.tell(now.systems.map((system) => ({ system, several: now.systems.length > 1, live: news.line === "live" })));
      say(trouble, troubleText(news));
      say(clock, now.wall.trusted ? texts.clock(clockOf(houseTime(now.wall))) : texts.clockUnset);
      fill.hidden = !document.fullscreenEnabled || document.fullscreenElement !== null;
    },
  };
}

interface TankNews {
  readonly system: System;
  readonly several: boolean;
  readonly live: boolean;
}

function tank(): Part<TankNews> {
  const name = h("h3");
  const figure = h("span", { class: "degrees" });
  const unit = h("span", { class: "unit" }, "°C");
  const word = h("span", { class: "word" });
  const left = h("p");
  const heats = h("p", { class: "heats" });
  const root = h("article", { class: "tank" }, name,
    h("p", { class: "temperature" }, figure, " ", h("span", { class: "beside" }, unit, " ", word)), left, heats);
  return {
    root,
    tell({ system, several, live }) {
      const top = reading(system, "tank_top");
      say(name, several ? system.name : "");
      // Whole degrees: nobody tells a tenth from across the room.
      say(figure, top === null ? texts.wall.unknown : Math.round(top).toFixed(0).replace("-", "\u2212"));
      mark(figure, "data-long", String((figure.textContent ?? "").length > 2));
      say(unit, top === null ? "" : "°C");
      say(word, top === null ? texts.water.unknown : waterWord(top));
      const water = waterLeft(system);
      say(left, !live ? texts.wall.wasSo : water === null ? "" : texts.wall.left(water.litres, water.showers));
      say(heats, live ? texts.wall.heats(system.heat_from_sun, system.heat_from_meter) : "");
    },
  };
}

const nightFrom = 22, nightTo = 6; // o'clock of the house. Common practice, no source.

/** Dark while the sun is down, and dim while people sleep. */
function lightOf({ wall }: Now): string {
  if (!wall.trusted) return "day";
  const hour = houseTime(wall).getUTCHours();
  if (hour >= nightFrom || hour < nightTo) return "night";
  return wall.sun_up === "no" ? "evening" : "day";
}

/** The one line that matters most: that all this is old, or what is most urgently wrong. */
function troubleText(news: LiveNews): string {
  if (news.misfit) return texts.banner.misfit;
  if (news.line === "old" || news.line === "lost") return texts.wall.old[news.line](span(news.ageSeconds));
  const { findings, systems } = news.now;
  const [first] = findings;
  return first === undefined ? "" : texts.wall.trouble(headline(first, systems.length > 1), findings.length - 1);
}
