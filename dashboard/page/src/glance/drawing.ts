// A section through the house, drawn by the readings: collector on the roof,
// loop, tank with its layers and the coil in it, heater, taps and circulation. Everything it shows stands in
// words beside it or below it, so a screen reader gets one sentence.

import type { Output } from "../api.ts";
import { temperatureColour } from "../color.ts";
import { mark, s, say, type Part } from "../dom.ts";
import { measured, degrees, nameOf, sentence, texts } from "../texts.ts";
import { housePlan, type HousePlan } from "./house_plan.ts";
import { good, output, reading, wired } from "./pick.ts";
import type { SystemNews } from "./system.ts";

const layers = 14;
const leastDraw = 0.5; // l/min from which on water is surely drawn. Common practice, no source.

export function drawing(): Part<SystemNews> {
  const root = s("svg", { class: "plant", role: "img", viewBox: "0 0 360 262" });
  let drawn: { kind: string; part: Part<SystemNews> } | null = null;
  return {
    root,
    tell(news) {
      const { loop, store } = news.system;
      const kind = `${loop}, ${store}`;
      if (drawn?.kind !== kind) {
        const plan = housePlan(loop);
        const part = house(plan, store === "loop fluid" ? plan.tapCoil : plan.coil);
        drawn = { kind, part };
        root.replaceChildren(part.root);
      }
      drawn.part.tell(news);
      mark(root, "aria-label", summary(news));
    },
  };
}

function house(plan: HousePlan, coil: string): Part<SystemNews> {
  const { tank } = plan;
  const stripes = Array.from({ length: layers }, (_, i) =>
    s("rect", {
      x: String(tank.x), width: String(tank.width),
      y: String(tank.y + (i * tank.height) / layers), height: String(tank.height / layers + 0.6),
    }));
  const shape = { x: String(tank.x), y: String(tank.y), width: String(tank.width), height: String(tank.height), rx: "15" };
  const clip = `tank-${plan.loop}-${Math.random().toString(36).slice(2)}`;
  const hatch = s("rect", { ...shape, class: "unknown" });
  const absorber = s("path", { class: "absorber", d: plan.collector });
  const hot = pipe(plan.hot);
  const cold = pipe(plan.cold);
  const taps = draws(plan.taps);
  const circulation = circulationOf(plan);
  const sun = sunAt(plan.sun);
  const pump = plan.pump === null ? null : pumpAt(plan.pump);
  const element = s("path", { class: "element", d: plan.heater.path });
  const heaterWord = label(plan.heater.word, "end");
  const heaterState = label([plan.heater.word[0], plan.heater.word[1] + 12], "end");
  const top = chip(plan.topChip);
  const bottom = chip(plan.bottomChip);
  const collectorWord = label(plan.collectorWord, "start");
  const collectorValue = label([plan.collectorWord[0], plan.collectorWord[1] + 14], "start", "figure");
  const outdoorWord = label(plan.outdoor, "start");
  const outdoorValue = label([plan.outdoor[0], plan.outdoor[1] + 14], "start", "figure");
  const heaterParts = s("g", {}, element, heaterWord, heaterState);

  const root = s("g", {},
    s("clipPath", { id: clip }, s("rect", shape)),
    s("path", { class: "walls", d: plan.walls }),
    s("path", { class: "ground", d: plan.ground }),
    sun.root,
    circulation.root,
    taps.root,
    s("path", { class: "pipe service", d: plan.inlet }),
    s("path", { class: "tap", d: plan.tap }),
    hot.root, cold.root,
    s("path", { class: "frame", d: plan.collector }), absorber,
    s("g", { "clip-path": `url(#${clip})` }, ...stripes), hatch,
    s("path", { class: "coil", d: coil }),
    heaterParts,
    s("rect", { ...shape, class: "shell" }),
    top.root, bottom.root,
    collectorWord, collectorValue, outdoorWord, outdoorValue,
    words(plan.tapsWord, "start", texts.drawing.taps),
    ...(pump === null ? [] : [pump.root]));

  return {
    root,
    tell({ system, outdoor, live }) {
      const collectorC = reading(system, "collector");
      const topC = reading(system, "tank_top");
      const bottomC = reading(system, "tank_bottom");
      const upperC = topC ?? bottomC;
      const lowerC = bottomC ?? topC;
      mark(hatch, "visibility", upperC === null ? "visible" : "hidden");
      stripes.forEach((stripe, i) => {
        const f = i / (layers - 1);
        const tempC = upperC === null || lowerC === null ? null : upperC + f * (lowerC - upperC);
        mark(stripe, "fill", tempC === null ? "none" : temperatureColour(tempC));
      });
      mark(absorber, "fill", collectorC === null ? "none" : temperatureColour(collectorC));
      const pumpOutput = output(system, "loop_pump");
      const flows = system.loop === "natural" ? system.heat_from_sun === "yes" : (pumpOutput?.level_ratio ?? 0) > 0;
      hot.tell({ tempC: collectorC, flows: flows && live });
      cold.tell({ tempC: bottomC, flows: flows && live });
      taps.tell(live && (reading(system, "draw_flow") ?? 0) >= leastDraw);
      circulation.tell({ output: output(system, "hot_water_circulation"), live });
      mark(sun.root, "visibility", system.heat_from_sun === "yes" ? "visible" : "hidden");
      if (pump !== null && pumpOutput !== undefined) pump.tell({ flows, state: texts.outputs.state(pumpOutput) });
      const heater = output(system, "backup_heater");
      mark(heaterParts, "visibility", heater === undefined ? "hidden" : "visible");
      mark(element, "data-on", String((heater?.level_ratio ?? 0) > 0));
      say(heaterWord, texts.drawing.heater);
      say(heaterState, heater === undefined ? "" : texts.outputs.state(heater));
      top.tell(wired(system, "tank_top") ? shown(topC) : "");
      bottom.tell(wired(system, "tank_bottom") ? shown(bottomC) : "");
      say(collectorWord, texts.drawing.collector);
      say(collectorValue, wired(system, "collector") ? shown(collectorC) : "");
      say(outdoorWord, outdoor === undefined ? "" : texts.drawing.outdoor);
      say(outdoorValue, outdoor === undefined ? "" : shown(good(outdoor)));
    },
  };
}

/** The pipe to the taps, with dashes that move while water is drawn. */
function draws(d: string): Part<boolean> {
  const flow = s("path", { class: "flow", d });
  return {
    root: s("g", {}, s("path", { class: "pipe service", d }), flow),
    tell: (flows) => mark(flow, "visibility", flows ? "visible" : "hidden"),
  };
}

/** The pipe that keeps the taps' own hot, with its pump; not there in a house without. */
function circulationOf({ circulation }: HousePlan): Part<{ output: Output | undefined; live: boolean }> {
  const [x, y] = circulation.pump;
  const flow = s("path", { class: "flow", d: circulation.path });
  const turning = s("g", { class: "pump" },
    s("circle", { cx: String(x), cy: String(y), r: "8" }),
    s("path", { d: `M${x - 3.5} ${y - 5} L${x + 6} ${y} L${x - 3.5} ${y + 5} Z` }));
  const word = words(circulation.word, "middle", texts.drawing.circulation);
  word.setAttribute("class", "small");
  const root = s("g", {}, s("path", { class: "pipe service", d: circulation.path }), flow, turning, word);
  return {
    root,
    tell({ output: pump, live }) {
      const on = (pump?.level_ratio ?? 0) > 0;
      mark(root, "display", pump === undefined ? "none" : "inline");
      mark(flow, "visibility", on && live ? "visible" : "hidden");
      mark(turning, "data-on", String(on));
    },
  };
}

const shown = (tempC: number | null): string => (tempC === null ? texts.drawing.unknown : degrees(tempC));

/** A pipe in the colour of its fluid, with dashes that move while it flows. */
function pipe(d: string): Part<{ tempC: number | null; flows: boolean }> {
  const fluid = s("path", { class: "fluid", d });
  const flow = s("path", { class: "flow", d });
  return {
    root: s("g", {}, s("path", { class: "pipe", d }), fluid, flow),
    tell({ tempC, flows }) {
      mark(fluid, "stroke", tempC === null ? "none" : temperatureColour(tempC));
      mark(flow, "visibility", flows ? "visible" : "hidden");
    },
  };
}

function pumpAt([x, y]: readonly [number, number]): Part<{ flows: boolean; state: string }> {
  const state = words([x, y + 37], "middle", "");
  const root = s("g", { class: "pump" },
    s("circle", { cx: String(x), cy: String(y), r: "11" }),
    s("path", { d: `M${x + 5} ${y - 7} L${x - 8} ${y} L${x + 5} ${y + 7} Z` }),
    words([x, y + 25], "middle", texts.drawing.pump), state);
  return {
    root,
    tell(what) {
      mark(root, "data-on", String(what.flows));
      say(state, what.state);
    },
  };
}

function sunAt([x, y]: readonly [number, number]): { root: SVGElement } {
  const rays = [100, 125, 150, 175, 200].map((deg) => {
    const [c, sn] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
    return `M${(x + 17 * c).toFixed(1)} ${(y + 17 * sn).toFixed(1)} L${(x + 25 * c).toFixed(1)} ${(y + 25 * sn).toFixed(1)}`;
  });
  return { root: s("g", { class: "sun" }, s("circle", { cx: String(x), cy: String(y), r: "12" }), s("path", { d: rays.join(" ") })) };
}

/** A figure on a small ground of its own, so that it reads on any colour. */
function chip([x, y]: readonly [number, number]): Part<string> {
  const value = words([x, y + 4.5], "middle", "");
  value.setAttribute("class", "figure");
  const root = s("g", { class: "chip" },
    s("rect", { x: String(x - 31), y: String(y - 10), width: "62", height: "20", rx: "3" }), value);
  return {
    root,
    tell(what) {
      mark(root, "visibility", what === "" ? "hidden" : "visible");
      say(value, what);
    },
  };
}

function label(at: readonly [number, number], anchor: string, kind = ""): SVGTextElement {
  const el = words(at, anchor, "");
  if (kind !== "") el.setAttribute("class", kind);
  return el;
}

function words([x, y]: readonly [number, number], anchor: string, text: string): SVGTextElement {
  return s("text", { x: String(x), y: String(y), "text-anchor": anchor }, text);
}

function summary({ system, outdoor }: SystemNews): string {
  const parts = [...system.readings, ...(outdoor === undefined ? [] : [outdoor])].map((r) => {
    const value = good(r);
    return `${nameOf(texts.places, r.place, r.words)} ${value === null ? texts.water.unknown : measured(value, r.unit)}`;
  });
  for (const o of system.outputs) parts.push(`${nameOf(texts.actuators, o.actuator, o.words)} ${texts.outputs.state(o)}`);
  return sentence(texts.drawing.summary(system.name, parts));
}
