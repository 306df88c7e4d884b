// The view of this moment: what is wrong, how hot the water is, what heats it,
// and why.

import type { Finding, Now, System } from "../api.ts";
import { h, mark, Parts, say, type Part } from "../dom.ts";
import type { News } from "../feed.ts";
import { degrees, span, texts, waterWord } from "../texts.ts";
import { Announcer } from "./announce.ts";
import { findingPart } from "./findings.ts";
import { readingRow } from "./readings.ts";
import { reading } from "./pick.ts";
import { systemPart, type SystemNews } from "./system.ts";
import { holidayPart } from "./wishes.ts";

export function nowView(): Part<News> {
  const site = h("h1");
  const light = h("span", { class: "light", "aria-hidden": "true" });
  const line = h("span");
  const clock = h("span", { class: "clock" });
  const banner = h("p", { class: "banner" });
  const findingsBox = h("div");
  const none = h("p", { class: "calm" });
  const findings = h("section", { class: "findings", "aria-labelledby": "wrong" },
    h("h2", { id: "wrong" }, texts.findings.heading), findingsBox);
  const systems = h("div", { class: "systems" });
  const house = h("section", { class: "house", "aria-labelledby": "house" },
    h("h2", { id: "house" }, texts.readings.houseHeading));
  const houseRows = h("dl", { class: "ledger" });
  house.append(houseRows);
  const holiday = holidayPart();
  const only = h("p");
  const running = h("span");
  const announcer = new Announcer();

  const body = h("div", { class: "news" }, findings, none, systems, holiday.root, house);
  const main = h("main", {}, banner, body);
  const root = h("div", { class: "sheet" },
    h("header", {}, site, h("p", { class: "line" }, light, line, clock)),
    main,
    h("footer", {},
      only,
      h("p", {}, running),
      h("p", {}, texts.foot.figures + " ",
        h("a", { href: "api/now" }, "api/now"), ", ", h("a", { href: "metrics" }, "metrics"))),
    announcer.root);

  let several = false;
  const findingParts = new Parts<Finding>(findingsBox,
    (f) => [f.kind, f.system, f.part, several].join(" "), (f) => findingPart(f, several));
  const systemParts = new Parts<SystemNews>(systems, (n) => n.system.name, () => systemPart());
  const houseParts = new Parts(houseRows, readingRow.key, readingRow.make);

  return {
    root,
    tell(news) {
      mark(root, "data-line", news.line);
      say(line, texts.line[news.line]);
      say(banner, bannerText(news));
      body.hidden = news.now === null;
      announcer.tell(news);
      const now = news.now;
      if (now === null) {
        document.title = texts.titleWithoutData;
        return;
      }
      several = now.systems.length > 1;
      say(site, now.site);
      say(clock, now.wall.trusted ? texts.clock(now.wall.local.slice(11, 16)) : texts.clockUnset);
      findings.hidden = now.findings.length === 0;
      say(none, allGood(now) ? texts.findings.none : texts.findings.watched);
      none.hidden = now.findings.length > 0 || news.line !== "live";
      findingParts.tell(now.findings);
      const mayUse = news.may !== "see" && news.line === "live";
      holiday.tell({ now, may: mayUse });
      say(only, texts.foot.may[news.may]);
      const outdoor = now.readings.find((r) => r.place === "outdoor_air");
      systemParts.tell(now.systems.map((system) => ({
        system, outdoor, several, house: several ? [] : now.readings,
        live: news.line === "live", newsAgeSeconds: news.ageSeconds, wall: now.wall, mayUse,
      })));
      house.hidden = !several || now.readings.length === 0;
      houseParts.tell(now.readings.map((r) => ({ reading: r, newsAgeSeconds: news.ageSeconds })));
      say(running, texts.foot.running(now.version, now.up_seconds));
      document.title = texts.title(now.systems.map(inShort).join(", "), now.site);
    },
  };
}

/** Before a finding is raised, a reading that can't be used shows that not all is well. */
function allGood(now: Now): boolean {
  return [...now.readings, ...now.systems.flatMap((s) => s.readings)].every((r) => r.quality === "good");
}

function bannerText(news: News): string {
  if (news.misfit) return texts.banner.misfit;
  switch (news.line) {
    case "old":
      return texts.banner.old(span(news.ageSeconds));
    case "lost":
      return news.now === null ? texts.banner.lostEmpty : texts.banner.lost(span(news.ageSeconds));
    default:
      return texts.banner[news.line];
  }
}

function inShort(system: System): string {
  const top = reading(system, "tank_top");
  if (top === null) return texts.water.unknown;
  return `${degrees(top)} ${waterWord(top)}`;
}
