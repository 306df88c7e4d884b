import type { Output } from "../api.ts";
import { h, mark, Parts, say, type Part } from "../dom.ts";
import { sayReason } from "../reason.ts";
import { nameOf, sentence, texts } from "../texts.ts";

type Vote = Output["votes"][number];

// Reasons that have a fuller line of their own.
const ownLine = new Set(["override", "minimum_run", "minimum_rest"]);

/** An output: what it does, why, and what stands in its way. */
export const outputRow = {
  key: (o: Output): string => o.actuator,
  make: (o: Output): Part<Output> => {
    const state = h("span", { class: "value" });
    const reason = h("p");
    const fault = h("p", { class: "strong" });
    const override = h("p", { class: "strong" });
    const held = h("p");
    const counters = h("p", { class: "quiet" });
    const votes = h("ol");
    const votePart = new Parts<[number, Vote]>(votes, ([i]) => String(i), () => voteLine());
    const root = h("div", { class: "output" },
      h("dt", {}, nameOf(texts.actuators, o.actuator, o.words)),
      h("dd", {}, state),
      h("dd", { class: "story" }, fault, reason, override, held, counters,
        h("details", {}, h("summary", {}, texts.outputs.votes), votes, h("p", { class: "quiet" }, texts.outputs.votesHint))));
    return {
      root,
      tell(now) {
        mark(root, "data-on", String(now.level_ratio > 0));
        mark(root, "data-fault", String(now.fault !== ""));
        say(state, texts.outputs.state(now));
        sayReason(reason, now.reason, ownLine.has(now.reason.key) ? () => "" : sentence);
        say(fault, now.fault === "" ? "" : texts.outputs.fault(now.fault));
        say(override, now.override_seconds_left > 0
          ? texts.outputs.override(now.override_ratio, now.override_seconds_left) : "");
        say(held, now.held_seconds > 0 ? texts.outputs.held(now.held_seconds) : "");
        say(counters, texts.outputs.counters(now.run_seconds, now.switchings));
        votePart.tell(now.votes.map((v, i): [number, Vote] => [i, v]));
      },
    };
  },
};

function voteLine(): Part<[number, Vote]> {
  const level = h("b");
  const why = h("span");
  return {
    root: h("li", {}, level, " ", why),
    tell([, v]) {
      say(level, texts.outputs.vote(nameOf(texts.outputs.rank, v.rank, v.rank), v.level_ratio));
      sayReason(why, v.reason);
    },
  };
}
