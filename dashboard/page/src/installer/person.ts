// Who looks, what he may do, and the way in for those who may do more.

import { h, say, type Part } from "../dom.ts";
import type { LiveNews } from "../frame.ts";
import { look } from "../ask.ts";
import { texts } from "../texts.ts";

export function personPart(): Part<LiveNews> {
  const may = h("p");
  const come = h("button", { type: "button" }, texts.installer.logIn);
  const answer = h("p", { class: "answer", "aria-live": "polite" });
  // The browser asks for name and password by itself when what is asked for takes
  // them, and sends them from then on; the page holds none.
  come.addEventListener("click", () => {
    answer.textContent = texts.ask.asking;
    void look("api/site-file", () => undefined).then(
      () => location.reload(),
      (e: Error) => { answer.textContent = e.message; });
  });
  return {
    root: h("div", { class: "person" }, may, come, answer),
    tell(news) {
      say(may, texts.installer.may[news.may]);
      come.hidden = news.may === "install";
    },
  };
}
