import type { Finding } from "../api.ts";
import { english, h, say, type Part } from "../dom.ts";
import { sentence, texts } from "../texts.ts";

/** What is wrong and where, in the program's words. */
export function headline(f: Finding, several: boolean): string {
  const where = [f.about, several ? f.system : ""].filter((w) => w !== "").join(", ");
  return where === "" ? f.title : `${f.title}: ${where}`;
}

/** One finding: what is wrong, how urgent, what was seen; more on demand. */
export function findingPart(f: Finding, several: boolean): Part<Finding> {
  const evidence = h("span", english);
  const known = h("span", { class: "known" });
  const detail = h("p");
  const more = h("details", f.urgency === "at_once" ? { open: "" } : {},
    h("summary", {}, texts.findings.more),
    h("p", {}, h("b", {}, texts.findings.likely + ": "), h("span", english, f.likely)),
    h("p", {}, h("b", {}, texts.findings.check + ": "), h("span", english, f.check)),
    detail);
  const root = h("article", { class: "finding", "data-urgency": f.urgency },
    h("p", { class: "urgency" }, texts.findings.urgency[f.urgency]),
    h("h3", english, headline(f, several)),
    h("p", {}, evidence, " ", known), more);
  return {
    root,
    tell(now) {
      say(evidence, sentence(now.evidence.text));
      say(known, texts.findings.known(now.for_seconds));
      say(detail, now.detail === "" ? "" : `${texts.findings.detail}: ${sentence(now.detail)}`);
    },
  };
}
