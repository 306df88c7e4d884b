// An output: what it does, the vote that won and those that lost, and the way to set
// it by hand for a while.

import type { Output } from "../api.ts";
import { ask, refused } from "../ask.ts";
import { answerLine, button } from "../button.ts";
import { h, mark, Parts, say, type Part } from "../dom.ts";
import { sayReason } from "../reason.ts";
import { ending, nameOf, texts, type Wall } from "../texts.ts";
import type { Leave } from "./installer.ts";

export interface OutputNews {
  readonly output: Output;
  readonly system: string;
  readonly number: number; // of the system
  readonly wall: Wall;
  readonly leave: Leave;
}

type Vote = Output["votes"][number];
interface Ballot {
  readonly vote: Vote;
  readonly won: boolean;
}

const levels = { on: 1, off: 0, "75 %": 0.75, "50 %": 0.5, "25 %": 0.25 } as const;

/** The levels that an output can be set to by hand. */
const levelsOf = (o: Output): (keyof typeof levels)[] =>
  (Object.keys(levels) as (keyof typeof levels)[]).filter((words) =>
    levels[words] === 0 || levels[words] === 1 || o.least_ratio > 0 && levels[words] >= o.least_ratio);

export function outputPart({ output, system, number }: OutputNews): Part<OutputNews> {
  const name = nameOf(texts.actuators, output.actuator, output.words);
  const state = h("b", { class: "value" });
  const fault = h("p", { class: "strong" });
  const held = h("p");
  const votes = h("ul", { class: "votes" });
  const ballots = new Parts<[number, Ballot]>(votes, ([i]) => String(i), () => ballotLine());
  const hand = byHand(output, name, system, number);
  return {
    root: h("section", { class: "output", "aria-label": name },
      h("h5", {}, name, ": ", state), fault, held, votes, hand.root),
    tell(news) {
      const o = news.output;
      say(state, texts.outputs.state(o));
      say(fault, o.fault === "" ? "" : texts.outputs.fault(o.fault));
      say(held, o.held_seconds > 0 ? texts.outputs.held(o.held_seconds) : "");
      ballots.tell(ballotsOf(o).map((b, i): [number, Ballot] => [i, b]));
      hand.tell(news);
    },
  };
}

/** The vote that won first: of those of the strongest rank the lowest. Without any, what the output rests by. */
function ballotsOf(o: Output): Ballot[] {
  const strongest = o.votes.filter((v) => v.rank === o.rank).sort((a, b) => a.level_ratio - b.level_ratio)[0]
    ?? { level_ratio: o.wanted_ratio, rank: o.rank, reason: o.reason };
  return [{ vote: strongest, won: true }, ...o.votes.filter((v) => v !== strongest).map((vote) => ({ vote, won: false }))];
}

function ballotLine(): Part<[number, Ballot]> {
  const result = h("b");
  const wish = h("span");
  const reason = h("span");
  const root = h("li", {}, result, " ", wish, " ", reason);
  return {
    root,
    tell([, { vote, won }]) {
      mark(root, "data-won", String(won));
      say(result, won ? texts.installer.won : texts.installer.lost);
      say(wish, texts.outputs.vote(nameOf(texts.outputs.rank, vote.rank, vote.rank), vote.level_ratio));
      sayReason(reason, vote.reason);
    },
  };
}

/** Sets an output by hand; it ends by itself. */
function byHand(output: Output, name: string, system: string, number: number): Part<OutputNews> {
  const id = `${output.actuator}-${number}`;
  const path = `api/systems/${encodeURIComponent(system)}/outputs/${output.actuator}/override`;
  const level = h("select", { id: `level-${id}` }, ...levelsOf(output).map((words) => h("option", { value: words }, texts.installer.level[words])));
  const minutes = h("input", { id: `minutes-${id}`, type: "number", min: "1", max: "1440", step: "1", value: "15", inputmode: "numeric" });
  const begin = button(texts.installer.set(name), () =>
    minutes.checkValidity() && minutes.value !== ""
      ? ask("PUT", path, { level: level.value, length: `${minutes.value} min` })
      : Promise.resolve(refused(texts.installer.minutesWrong)));
  const end = button(texts.installer.release(name), () => ask("DELETE", path));
  const answer = answerLine(begin, end);
  const state = h("p", { class: "asked" });
  const form = h("p", { class: "form" },
    h("label", { for: level.id }, texts.installer.levelOf(name)), " ", level, " ",
    h("label", { for: minutes.id }, texts.installer.minutes), " ", minutes);
  let stood = false;
  return {
    root: h("div", {}, state, form, begin.root, end.root, answer),
    tell({ output: o, wall, leave }) {
      const left = o.override_seconds_left;
      say(state, left > 0 ? texts.installer.byHand(o.override_ratio, ending(wall, left), left) : "");
      form.hidden = begin.root.hidden = !leave.install;
      const hadFocus = document.activeElement === end.root;
      end.root.hidden = !leave.install || left <= 0;
      if (hadFocus && left <= 0) begin.root.focus();
      if (stood && left <= 0 && begin.heard) begin.onAnswer(texts.installer.ended, false);
      stood = left > 0;
    },
  };
}
