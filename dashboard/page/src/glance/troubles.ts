// What is wrong, in a line each, with a way to what can be done about it.

import type { Finding } from "../api.ts";
import { english, h, Parts, say, type Part } from "../dom.ts";
import type { LiveNews } from "../frame.ts";
import { headline } from "../findings/finding.ts";
import { noneText } from "../findings/findings.ts";
import { texts } from "../texts.ts";

const enough = 3; // unless more are to be acted on at once: the temperature should stay in sight

export function troubles(): Part<LiveNews> {
  const none = h("p", { class: "calm" });
  const list = h("ul");
  const all = h("a", { href: "#findings" });
  const box = h("section", { class: "troubles", "aria-labelledby": "wrong" },
    h("h3", { id: "wrong" }, texts.findings.heading), list,
    h("p", {}, all));
  let several = false;
  const parts = new Parts<Finding>(list,
    (f) => [f.kind, f.system, f.part, several].join(" "), (f) => trouble(f, several));
  return {
    root: h("div", {}, box, none),
    tell({ now, line }) {
      several = now.systems.length > 1;
      box.hidden = now.findings.length === 0;
      say(none, now.findings.length > 0 || line !== "live" ? "" : noneText(now));
      const told = now.findings.filter((f, i) => f.urgency === "at_once" || i < enough);
      say(all, texts.findings.all(now.findings.length, now.findings.length - told.length));
      parts.tell(told);
    },
  };
}

/** The most urgent are told with what to check, for they are about people. */
function trouble(f: Finding, several: boolean): Part<Finding> {
  const root = h("li", { "data-urgency": f.urgency },
    h("p", {}, h("b", { class: "urgency" }, texts.findings.urgency[f.urgency]), " ", h("span", english, headline(f, several))),
    ...(f.urgency === "at_once" ? [h("p", english, f.check)] : []));
  return { root, tell: () => undefined };
}
