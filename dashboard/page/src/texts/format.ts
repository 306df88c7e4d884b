// How figures, times and sentences are written in the page's language.

import { language } from "./language.ts";

const locale = { en: "en-GB", es: "es" }[language];
const decimal = { en: ".", es: "," }[language];
const dayWords = { en: ["day", "days"], es: ["día", "días"] }[language];
const fromNow = { en: (length: string) => `${length} from now`, es: (length: string) => `dentro de ${length}` }[language];

const minus = "\u2212";
const together = "\u00a0"; // a space at which no line breaks

/** A figure with so many decimals, a true minus sign and the language's decimal sign. */
export const figure = (value: number, decimals: number): string =>
  value.toFixed(decimals).replace("-", minus).replace(".", decimal);

/** A whole count: "1,412". */
export const count = (n: number): string => Math.round(n).toLocaleString(locale);

/** "61.3 °C", with a true minus sign. */
export const degrees = (tempC: number): string => measured(tempC, "°C");

/** "40 °C" of a figure that a person has chosen: tenths only where there are any. */
export const chosenDegrees = (tempC: number): string =>
  figure(tempC, Number.isInteger(tempC) ? 0 : 1) + together + "°C";

/** A value of any unit: "2.1 bar"; plain numbers without one. */
export function measured(value: number, unit: string): string {
  const words = figure(value, 1);
  return unit === "" ? words : words + together + unit;
}

/** "4.5 kWh" of an energy in joules. */
export const energy = (joules: number): string => measured(joules / 3.6e6, "kWh");

/** "12 h" of seconds. */
export const wholeHours = (seconds: number): string => `${Math.round(seconds / 3600)}${together}h`;

/** "40 s", "12 min", "3.5 h", "16 days". */
export function span(seconds: number): string {
  if (seconds < 90) return `${Math.ceil(seconds)} s`; // rounded up, as the controller's own sentences are
  if (seconds < 90 * 60) return `${Math.ceil(seconds / 60)} min`;
  if (seconds < 72 * 3600) return `${figure(seconds / 3600, 1)} h`;
  const days = Math.round(seconds / 86400);
  return `${days} ${dayWords[days === 1 ? 0 : 1]}`;
}

/** The house's clock, as /api/now tells it. */
export interface Wall {
  readonly local: string; // civil time of the house, RFC 3339
  readonly trusted: boolean;
}

/** The house's own civil time in so many seconds, whatever the zone of who looks; read it as UTC. */
export const houseTime = (wall: Wall, seconds = 0): Date =>
  new Date(Date.parse(wall.local.slice(0, 19) + "Z") + seconds * 1000);

/** "19:03" of a house time. */
export const clockOf = (time: Date): string => time.toISOString().slice(11, 16);

/** "2 March" of a house time. */
export const dayOf = (time: Date): string =>
  time.toLocaleDateString(locale, { day: "numeric", month: "long", timeZone: "UTC" }).replace(/ /g, together);

/** A time of the day or a date as it stands in a sentence: Spanish has an article there. */
const inSentence = {
  en: { clock: (hhmm: string) => hhmm, day: (day: string) => day },
  es: { clock: (hhmm: string) => `${hhmm.startsWith("01") ? "la" : "las"}${together}${hhmm}`, day: (day: string) => `el${together}${day}` },
}[language];

/** "19:03" as it stands in a sentence. */
export const clockWords = inSentence.clock;

/** When something ends that lasts for so long: "19:03", or "2 March" from two days on. */
export function ending(wall: Wall, seconds: number): string {
  if (!wall.trusted) return fromNow(span(seconds));
  const end = houseTime(wall, seconds);
  return seconds < 48 * 3600 ? clockWords(clockOf(end)) : inSentence.day(dayOf(end));
}

/** How long something ran: "40 s", "20 min", "1,412 h". Only what is over counts. */
export function ranFor(seconds: number): string {
  if (seconds < 60) return `${Math.floor(seconds)} s`;
  if (seconds < 3600) return `${Math.floor(seconds / 60)} min`;
  return `${count(Math.floor(seconds / 3600))} h`;
}

/** With a capital letter first. */
export const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** Words that the program gave, with true minus signs, and figures that stay with their units. */
export const wellSet = (words: string): string => words.trim()
  .replace(/(^|[\s(])-(?=\d)/g, `$1${minus}`)
  .replace(/(\d) (?=(°C|K|W|kWh|l\/min|bar|A|s|min|h|d)(?![\w]))/g, `$1${together}`);

/** Makes a sentence of words that the program gave, which are English: "The tank is full." */
export function sentence(words: string): string {
  const trimmed = wellSet(words);
  if (trimmed === "") return "";
  const end = /[.!?]$/.test(trimmed) ? "" : ".";
  return capital(trimmed) + end;
}

// Times of the past: instants as seconds since 1970, told in the house's zone.

const formats = new Map<string, Intl.DateTimeFormat>();

/** Writes an instant by the house's clock; one that the browser does not know is told as UTC. */
function inZone(at: number, zone: string, how: Intl.DateTimeFormatOptions): string {
  const key = zone + JSON.stringify(how);
  let format = formats.get(key);
  if (format === undefined) {
    try {
      format = new Intl.DateTimeFormat(locale, { ...how, timeZone: zone });
    } catch {
      format = new Intl.DateTimeFormat(locale, { ...how, timeZone: "UTC" });
    }
    formats.set(key, format);
  }
  return format.format(at * 1000);
}

const clockParts = { hour: "2-digit", minute: "2-digit", hourCycle: "h23" } as const;
const dayParts = { day: "numeric", month: "short" } as const;

/** "19 February 2026, 20:10" */
export const instantOf = (at: number, zone: string): string =>
  `${inZone(at, zone, { day: "numeric", month: "long", year: "numeric" }).replace(/ /g, together)}, ${inZone(at, zone, clockParts)}`;

/** When something ended that began at another instant: "20:10" on the same day, else with the day. */
export const endOf = (begin: number, end: number, zone: string): string =>
  inZone(begin, zone, { dateStyle: "short" }) === inZone(end, zone, { dateStyle: "short" }) ? inZone(end, zone, clockParts) : instantOf(end, zone);

/** "19 Feb, 20:10" */
export const shortInstantOf = (at: number, zone: string): string =>
  `${inZone(at, zone, dayParts).replace(/ /g, together)}, ${inZone(at, zone, clockParts)}`;

/** Labels of a time axis whose ticks are so many seconds apart: clock times with a day where one begins, days, months or years. */
export function timeLabels(ticks: readonly number[], step: number, zone: string): string[] {
  let before = "";
  return ticks.map((at) => {
    if (step >= 360 * 86400) return inZone(at, zone, { year: "numeric" });
    if (step >= 28 * 86400) return inZone(at, zone, { month: "short", year: "numeric" });
    const day = inZone(at, zone, dayParts);
    if (step >= 86400) return day;
    const label = day === before ? inZone(at, zone, clockParts) : `${inZone(at, zone, clockParts)}\n${day}`;
    before = day;
    return label;
  });
}

/** "February 2026", "19 February 2026" or "2026" of a civil day such as 2026-02-19, by how much of it is told. */
export function periodOf(day: string, by: "hour" | "day" | "month" | "year"): string {
  const at = Date.parse(day.slice(0, 10) + "T00:00:00Z") / 1000;
  if (by === "year") return inZone(at, "UTC", { year: "numeric" });
  if (by === "month") return inZone(at, "UTC", { month: "long", year: "numeric" });
  return inZone(at, "UTC", { day: "numeric", month: "long", year: "numeric" }).replace(/ /g, together);
}

/** The same in short, for an axis: "19", "Feb" or "2026". */
export function shortPeriodOf(day: string, by: "day" | "month" | "year"): string {
  const at = Date.parse(day.slice(0, 10) + "T00:00:00Z") / 1000;
  if (by === "day") return inZone(at, "UTC", { day: "numeric" });
  return inZone(at, "UTC", by === "month" ? { month: "short" } : { year: "numeric" });
}

/** The same for the rows of a table below the name of what they are parts of: "19 Feb", "February" or "2026". */
export function partOf(day: string, by: "day" | "month" | "year"): string {
  const at = Date.parse(day.slice(0, 10) + "T00:00:00Z") / 1000;
  if (by === "day") return inZone(at, "UTC", dayParts).replace(/ /g, together);
  return inZone(at, "UTC", by === "month" ? { month: "long" } : { year: "numeric" });
}

/** "24.91 EUR": money with two decimals, or none where a kWh costs so much that nobody counts them. */
export const money = (amount: number, currency: string, perKWh: number): string =>
  figure(amount, perKWh >= 10 ? 0 : 2) + together + currency;

/** "84.3", the figure of an energy in kWh with so many decimals, for columns that say kWh above. */
export const kWh = (joules: number, decimals: number): string => figure(joules / 3.6e6, decimals);

/** "84.3 kWh", or "2,920 kWh" of what is so much that nobody counts tenths. */
export const heat = (joules: number): string =>
  (joules >= 3.6e8 ? count(joules / 3.6e6) : kWh(joules, 1)) + together + "kWh";

/** "78 %" */
export const percent = (share: number): string => `${Math.round(share * 100)}${together}%`;
