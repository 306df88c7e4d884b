// Tells a screen reader what changed: the line to the controller, findings and
// what heats the water, not every figure.

import { h } from "./dom.ts";
import { headline } from "./findings/finding.ts";
import type { News } from "./feed.ts";
import { sentence, texts } from "./texts.ts";

export class Announcer {
  readonly root = h("div", { class: "unseen", role: "status", "aria-live": "polite" });
  private before: string[] | null = null;

  tell(news: News): void {
    const states = statesOf(news);
    const before = this.before;
    this.before = states;
    if (before === null || news.now === null && news.line !== "lost") return; // the page itself is read first
    const fresh = states.filter((state) => !before.includes(state));
    if (fresh.length > 0) this.root.textContent = fresh.join(" ");
  }
}

function statesOf({ line, now }: News): string[] {
  const states: string[] = [];
  if (line !== "connecting") states.push(texts.announce[line]);
  if (now === null) return states;
  const several = now.systems.length > 1;
  for (const f of now.findings) states.push(sentence(headline(f, several)));
  for (const s of now.systems) {
    states.push((several ? `${s.name}: ` : "") + texts.heating(s.heat_from_sun, s.heat_from_meter));
  }
  return states;
}
