// One system: its raw readings, and its outputs.

import type { Output, System } from "../api.ts";
import { h, Parts, say, type Part } from "../dom.ts";
import { texts, type Wall } from "../texts.ts";
import type { Leave } from "./installer.ts";
import { outputPart, type OutputNews } from "./output.ts";
import { rawRow, type RawNews } from "./raw.ts";

export interface PlantNews {
  readonly system: System;
  readonly number: number;
  readonly wall: Wall;
  readonly newsAgeSeconds: number;
  readonly leave: Leave;
}

export function plantPart({ system, number }: PlantNews): Part<PlantNews> {
  const id = `plant-${number}`;
  const readings = h("dl", { class: "ledger" });
  const outputs = h("div", { class: "by-hand" });
  const mayNot = h("p", { class: "quiet" });
  const readingParts = new Parts<RawNews>(readings, rawRow.key, rawRow.make);
  const outputParts = new Parts<OutputNews>(outputs, (n) => n.output.actuator, (n) => outputPart(n));
  return {
    root: h("section", { "aria-labelledby": id },
      h("h3", { id }, system.name),
      h("h4", {}, texts.installer.readings), readings,
      h("h4", {}, texts.installer.outputs), mayNot, outputs),
    tell({ system, number, wall, newsAgeSeconds, leave }) {
      readingParts.tell(system.readings.map((reading) => ({ reading, newsAgeSeconds })));
      say(mayNot, system.outputs.length === 0 ? "" : leave.word);
      outputParts.tell(system.outputs.map((output: Output) => ({ output, system: system.name, number, wall, leave })));
    },
  };
}
