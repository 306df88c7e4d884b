// A reason of the program in the page's language, where that has a translation of it;
// what has none, or is newer than this page, stays English, and is marked as such.

import type { Output } from "./api.ts";
import { quotes, say } from "./dom.ts";
import { clockWords, count, figure, measured, span, wellSet } from "./texts.ts";
import { language } from "./texts/language.ts";
import { spanishReasons } from "./texts/spanish_reasons.ts";

type Reason = Output["reason"];

const reasons = new Map(Object.entries<string>({ en: {}, es: spanishReasons }[language]));

/** A reason in the page's language; undefined where there is no translation. */
export function translated({ key, values }: Reason): string | undefined {
  return reasons.get(key)?.replace(/\{(\d)\s*([^}]*)\}/g, (_, n: string, unit: string) => inUnit(values[Number(n)] ?? 0, unit));
}

/** A figure of a reason as a person would write it: the page's words for the program's units. */
function inUnit(value: number, unit: string): string {
  switch (unit) {
    case "time": return span(value);
    case "clock": return clockWords(new Date((Math.floor(value) % 1440) * 60_000).toISOString().slice(11, 16));
    case "W": return `${count(value)} W`;
    case "": return figure(value, 0);
    case "figure": return figure(value, 1);
    default: return measured(value, unit);
  }
}

/** Says a reason in an element of its own. */
export function sayReason(el: HTMLElement, reason: Reason, as: (words: string) => string = wellSet): void {
  const own = translated(reason);
  say(el, as(own ?? reason.text));
  quotes(el, own === undefined);
}
