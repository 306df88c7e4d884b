// Buttons that ask the controller for something, and the line that its answer is read in.

import type { Outcome } from "./ask.ts";
import { h, quotes } from "./dom.ts";
import { texts } from "./texts.ts";

export interface Button {
  readonly root: HTMLButtonElement;
  onAnswer: (words: string, ofProgram: boolean) => void;
  heard: boolean; // the newest answer is to this one
  holds: boolean; // and what it was about has begun
}

/** A button that asks, and can't be pressed again before the answer. */
export function button(words: string, press: () => Promise<Outcome>): Button {
  const root = h("button", { type: "button" }, words);
  const self: Button = { root, onAnswer: () => undefined, heard: false, holds: false };
  root.addEventListener("click", () => {
    if (root.getAttribute("aria-disabled") === "true") return;
    root.setAttribute("aria-disabled", "true");
    self.onAnswer(texts.ask.asking, false);
    void press().then((outcome) => {
      self.onAnswer([outcome.words, ...outcome.reasons].join(" "), outcome.ofProgram);
      root.removeAttribute("aria-disabled");
    });
  });
  return self;
}

/** Where the answers to some buttons are read, and told by a screen reader. */
export function answerLine(...buttons: Button[]): HTMLElement {
  const line = h("p", { class: "answer", "aria-live": "polite" });
  for (const b of buttons) {
    b.onAnswer = (words, ofProgram) => {
      for (const other of buttons) other.heard = other === b;
      line.textContent = words;
      quotes(line, ofProgram);
    };
  }
  return line;
}
