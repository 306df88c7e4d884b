// The view of findings: what is wrong, how urgent it is, and what to check.

import type { Finding, Now } from "../api.ts";
import { h, Parts, say } from "../dom.ts";
import type { View, ViewPart } from "../frame.ts";
import { texts } from "../texts.ts";
import { findingPart } from "./finding.ts";
import { pastFindings } from "./past.ts";

export const findings: View = {
  name: "findings",
  words: texts.findings.words,
  count: (now) => now.findings.length,
  make,
};

function make(): ViewPart {
  const none = h("p", { class: "calm" });
  const box = h("div", { class: "findings" });
  let several = false;
  const parts = new Parts<Finding>(box,
    (f) => [f.kind, f.system, f.part, several].join(" "), (f) => findingPart(f, several));
  const past = pastFindings();
  let standing: string | null = null; // what stood when the history was asked
  return {
    root: h("div", {}, none, box, past.root),
    tell({ now, line }) {
      several = now.systems.length > 1;
      const stands = now.findings.map((f) => [f.kind, f.system, f.part].join(" ")).join();
      if (stands !== standing) past.look(Date.parse(now.wall.local) / 1000, several); // one may have gone
      standing = stands;
      say(none, now.findings.length > 0 ? "" : line === "live" ? noneText(now) : texts.findings.unheard);
      parts.tell(now.findings);
    },
    leave() {
      standing = null;
      past.drop();
    },
  };
}

/** Before a finding is raised, a reading that can't be used shows that not all is well. */
export function noneText(now: Now): string {
  const all = [...now.readings, ...now.systems.flatMap((s) => s.readings)];
  return all.every((r) => r.quality === "good") ? texts.findings.none : texts.findings.watched;
}
