// What people who live in the house ask for: hot water now, and a holiday.

import type { Now, System } from "../api.ts";
import { ask, refused } from "../ask.ts";
import { answerLine, button, type Button } from "../button.ts";
import { h, say, type Part } from "../dom.ts";
import { ending, texts } from "../texts.ts";
import { output } from "./pick.ts";

const boostLength = "2 h";

export interface BoostNews {
  readonly system: System;
  readonly may: boolean; // who looks may ask for it, and is heard
}

/** Hot water now, of one system. */
export function boostPart(): Part<BoostNews> {
  let path = "";
  const begin = button(texts.ask.boost, () => ask("PUT", path, { length: boostLength }));
  const end = button(texts.ask.endBoost, () => ask("DELETE", path));
  const hint = h("p", { class: "quiet" }, texts.ask.boostHint);
  const answer = answerLine(begin, end);
  const root = h("div", { class: "wish" }, hint, begin.root, end.root, answer);
  return {
    root,
    tell({ system, may }) {
      const left = system.boost_seconds_left;
      path = `api/systems/${encodeURIComponent(system.name)}/boost`;
      root.hidden = output(system, "backup_heater") === undefined || !may;
      hint.hidden = left > 0;
      swap(begin, end, may, left > 0);
    },
  };
}

export interface HolidayNews {
  readonly now: Now;
  readonly may: boolean;
}

/** A holiday of the whole house. */
export function holidayPart(): Part<HolidayNews> {
  const days = h("input", { id: "days", type: "number", min: "1", max: "90", step: "1", value: "7", inputmode: "numeric" });
  const asked = h("span", { class: "days" }, h("label", { for: "days" }, texts.ask.days), " ", days);
  const begin = button(texts.ask.holiday, () =>
    days.checkValidity() && days.value !== ""
      ? ask("PUT", "api/holiday", { length: `${days.value} d` })
      : Promise.resolve(refused(texts.ask.daysWrong)));
  const end = button(texts.ask.endHoliday, () => ask("DELETE", "api/holiday"));
  const state = h("p", { class: "asked" });
  const hint = h("p", { class: "quiet" }, texts.ask.holidayHint);
  const answer = answerLine(begin, end);
  const root = h("section", { class: "wish away", "aria-labelledby": "away" },
    h("h3", { id: "away" }, texts.ask.holidayHeading), state, hint, asked, begin.root, end.root, answer);
  return {
    root,
    tell({ now, may }) {
      const left = now.holiday_seconds_left;
      root.hidden = !now.systems.some((s) => output(s, "backup_heater")) || (!may && left <= 0);
      say(state, left > 0 ? texts.ask.onHoliday(ending(now.wall, left)) : "");
      hint.hidden = left > 0;
      asked.hidden = !may || left > 0;
      swap(begin, end, may, left > 0);
    },
  };
}

/**
 * Shows one of two buttons, or none; the focus stays where the one was. What was
 * answered to the one goes when it has ended by itself.
 */
function swap(begin: Button, end: Button, may: boolean, begun: boolean): void {
  if (begin.holds && begin.heard && !begun) begin.onAnswer("", false);
  begin.holds = begun && begin.heard;
  const [shown, other] = begun ? [end.root, begin.root] : [begin.root, end.root];
  const hadFocus = document.activeElement === other;
  shown.hidden = !may;
  if (hadFocus && may) shown.focus();
  other.hidden = true;
}
