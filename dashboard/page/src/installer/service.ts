// The service state: every output is held off while somebody works on the plant.

import { ask } from "../ask.ts";
import { answerLine, button } from "../button.ts";
import { h, say, type Part } from "../dom.ts";
import { texts } from "../texts.ts";
import type { Leave } from "./installer.ts";

export interface ServiceNews {
  readonly on: boolean;
  readonly leave: Leave;
}

export function servicePart(): Part<ServiceNews> {
  const begin = button(texts.installer.service.begin, () => ask("PUT", "api/servicing", { on: true }));
  const end = button(texts.installer.service.end, () => ask("PUT", "api/servicing", { on: false }));
  const state = h("p");
  const mayNot = h("p", { class: "quiet" });
  const answer = answerLine(begin, end);
  return {
    root: h("section", { "aria-labelledby": "service" },
      h("h3", { id: "service" }, texts.installer.service.heading), state,
      h("p", { class: "quiet" }, texts.installer.service.hint), mayNot, begin.root, end.root, answer),
    tell({ on, leave }) {
      say(state, on ? texts.installer.service.on : texts.installer.service.off);
      say(mayNot, leave.word);
      const hadFocus = document.activeElement === begin.root || document.activeElement === end.root;
      begin.root.hidden = !leave.install || on;
      end.root.hidden = !leave.install || !on;
      if (hadFocus && leave.install) (on ? end : begin).root.focus();
    },
  };
}
