// Findings that are gone: since when, until when, and what was seen.

import { english, h, say } from "../dom.ts";
import { Asker, troubleOf } from "../past/ask.ts";
import { readFindings, readPast, type PastFinding } from "../past/read.ts";
import { endOf, instantOf, sentence, span, texts } from "../texts.ts";

const day = 86400;
const firstDays = 90, mostDays = 400;

export interface PastFindings {
  readonly root: HTMLElement;
  /** Asks anew; now is the house's clock in seconds since 1970. */
  look(now: number, several: boolean): void;
  drop(): void;
}

export function pastFindings(): PastFindings {
  const asker = new Asker();
  let days = firstDays;
  let last: readonly [now: number, several: boolean] = [0, false];
  const told = h("p", { class: "calm" });
  const list = h("ol", { class: "past" });
  const more = h("button", { type: "button" }, texts.findings.earlier);
  const root = h("section", { "aria-labelledby": "past" }, h("h3", { id: "past" }, texts.findings.past), told, list, more);
  more.hidden = true;
  more.addEventListener("click", () => {
    days = mostDays;
    void look(...last);
  });

  async function look(now: number, several: boolean): Promise<void> {
    last = [now, several];
    const status = await asker.ask("history", {}, readPast);
    if (status === undefined) return;
    if ("words" in status || !status.value.kept || status.value.oldest === null) {
      say(told, "words" in status ? status.words : troubleOf(status.value));
      return;
    }
    const at = (seconds: number) => new Date(seconds * 1000).toISOString();
    const found = await asker.ask("history/findings", { from: at(now + 1 - days * day), to: at(now + 1) }, readFindings);
    if (found === undefined) return;
    if ("words" in found) {
      say(told, found.words);
      return;
    }
    const gone = found.value.findings.filter((f) => f.until !== null).reverse();
    const { zone } = status.value;
    say(told, [gone.length === 0 ? texts.findings.nothingPast(days) : texts.findings.pastDays(days), troubleOf(status.value)]
      .filter((words) => words !== "").join(" "));
    list.replaceChildren(...gone.map((f) => h("li", {}, ...partOf(f, several, zone))));
    more.hidden = days === mostDays;
  }
  return { root, look: (now, several) => void look(now, several), drop: () => asker.drop() };
}

function partOf(f: PastFinding, several: boolean, zone: string): HTMLElement[] {
  const since = Date.parse(f.since) / 1000, until = Date.parse(f.until ?? f.since) / 1000;
  const where = [f.part_words, several ? f.system : ""].filter((words) => words !== "").join(", ");
  return [
    h("h4", english, where === "" ? f.title : `${f.title}: ${where}`),
    h("p", { class: "known" }, texts.findings.from(instantOf(since, zone), endOf(since, until, zone), span(Math.max(1, until - since))), f.sure ? "" : ` ${texts.findings.unsure}`),
    h("p", {}, h("span", english, sentence(f.text)), f.detail === "" ? "" : ` ${texts.findings.detail}: ${sentence(f.detail)}`),
  ];
}
