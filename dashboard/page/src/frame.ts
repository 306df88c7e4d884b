// The frame of the page: name of the house, the line to the controller, the
// list of views, and the one view that the address names.

import type { Now } from "./api.ts";
import { Announcer } from "./announce.ts";
import { h, mark, say } from "./dom.ts";
import type { News } from "./feed.ts";
import { choose, isLanguage, language, languages } from "./texts/language.ts";
import { clockOf, houseTime, span, texts } from "./texts.ts";
import { whereTo } from "./route.ts";

/** News with something to show. */
export type LiveNews = News & { readonly now: Now };

/** What the page shows one at a time. views.ts lists them all, and says how one is added. */
export interface View {
  readonly name: string; // in the address: "#findings"; never changed, for people keep addresses
  readonly words: string; // in the list of views, as heading and in the title
  readonly whole?: boolean; // takes the whole screen, without the frame's own words
  heading?(now: Now): string; // in the title instead of words
  count?(now: Now): number; // how many it has to show, told in the list of views when there are any
  make(): ViewPart;
}

export interface ViewPart {
  readonly root: HTMLElement;
  /** What is new; once a second or so, while the view is shown. */
  tell(news: LiveNews): void;
  /** The rest of the address, "2026-02" of "#days/2026-02": when the view is shown, and when it changes. */
  go?(rest: string): void;
  /** Another view is shown. */
  leave?(): void;
}

export interface Frame {
  readonly root: HTMLElement;
  tell(news: News): void;
  /** Shows what the address names; at the start and whenever it changes. */
  go(hash: string): void;
}

export function frame(views: readonly [View, ...View[]]): Frame {
  const site = h("h1");
  const light = h("span", { class: "light", "aria-hidden": "true" });
  const line = h("span");
  const clock = h("span", { class: "clock" });
  const banner = h("p", { class: "banner" });
  const only = h("p");
  const running = h("p");
  const announcer = new Announcer();
  const links = views.map((view) => {
    const number = h("span");
    return { view, number, root: h("a", { href: `#${view.name}` }, view.words, number) };
  });
  const heading = h("h2", { class: "view", tabindex: "-1" });
  const stage = h("div", { class: "stage" });
  const root = h("div", { class: "sheet" },
    h("header", {},
      h("div", { class: "over" }, site, h("p", { class: "line" }, light, line, clock)),
      h("nav", { "aria-label": texts.frame.views },
        h("ul", {}, ...links.map((link) => h("li", {}, link.root))))),
    h("main", {}, banner, heading, stage),
    h("footer", {},
      only, running, languageChoice(), h("p", {}, texts.frame.untranslated),
      h("p", {}, texts.foot.figures + " ",
        h("a", { href: "api/now" }, "api/now"), ", ", h("a", { href: "metrics" }, "metrics"))),
    announcer.root);

  const made = new Map<View, ViewPart>();
  let shown: { readonly view: View; readonly part: ViewPart } | null = null;
  let newest: News | null = null;

  function show(view: View): ViewPart {
    const part = made.get(view) ?? view.make();
    made.set(view, part);
    if (shown?.view === view) return part;
    shown?.part.leave?.();
    shown = { view, part };
    stage.replaceChildren(part.root);
    heading.textContent = view.words;
    mark(root, "data-view", view.name);
    mark(root, "data-whole", String(view.whole === true));
    for (const link of links) {
      if (link.view === view) link.root.setAttribute("aria-current", "page");
      else link.root.removeAttribute("aria-current");
    }
    return part;
  }

  function tell(news: News): void {
    newest = news;
    mark(root, "data-line", news.line);
    say(line, texts.line[news.line]);
    const tellsItself = news.now !== null && shown?.view.whole === true;
    say(banner, tellsItself ? "" : bannerText(news));
    stage.hidden = news.now === null;
    announcer.tell(news);
    document.title = titleOf(news.now, shown?.view);
    const now = news.now;
    if (now === null) return;
    say(site, now.site);
    say(clock, now.wall.trusted ? texts.clock(clockOf(houseTime(now.wall))) : texts.clockUnset);
    for (const { view, number } of links) {
      const n = view.count?.(now) ?? 0;
      say(number, n > 0 ? ` (${n})` : "");
    }
    say(only, texts.foot.may[news.may]);
    say(running, texts.foot.running(now.version, now.up_seconds));
    shown?.part.tell({ ...news, now });
  }

  return {
    root,
    tell,
    go(hash) {
      const { name, rest } = whereTo(hash);
      const before = shown?.view;
      const part = show(views.find((view) => view.name === name) ?? views[0]);
      part.go?.(rest);
      if (newest !== null) tell(newest);
      if (before === undefined || before === shown?.view) return; // the browser reads the page by itself
      window.scrollTo(0, 0);
      heading.focus({ preventScroll: true });
    },
  };
}

/** Another language loads the page anew. */
function languageChoice(): HTMLElement {
  const select = h("select", { id: "language" }, ...Object.entries(languages).map(([key, words]) =>
    h("option", { value: key, lang: key, ...(key === language && { selected: "" }) }, words)));
  select.addEventListener("change", () => {
    if (isLanguage(select.value)) choose(select.value);
  });
  return h("p", {}, h("label", { for: "language" }, texts.frame.language), " ", select);
}

function titleOf(now: Now | null, view: View | undefined): string {
  if (now === null) return texts.titleWithoutData;
  return texts.title(view?.heading?.(now) ?? view?.words ?? "", now.site);
}

/** What stands in the way of showing the house as it is now, or nothing. */
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
