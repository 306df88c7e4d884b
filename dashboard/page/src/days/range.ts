// The span of time that the days show, and how it stands in the address: "24h" for
// the newest day, which goes on with the house's clock, or two instants, and behind
// them the instant that was chosen.

/** Seconds since 1970. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

export interface Shown {
  readonly newest: number | null; // so many seconds up to now; null for a span that stays
  readonly span: Span | null;
  readonly chosen: number | null;
}

const hour = 3600, day = 24 * hour;

/** Spans up to now that can be chosen, by their names in the address. */
export const newest = { "6h": 6 * hour, "24h": day, "7d": 7 * day, "30d": 30 * day, "365d": 365 * day } as const;
export type NewestName = keyof typeof newest;

const usual: NewestName = "24h";
const least = 10 * 60, most = 40 * 365 * day; // what can be zoomed to

const isNewest = (word: string): word is NewestName => word in newest;

/** Reads the rest of the address; what nobody could have meant is the newest day. */
export function readShown(rest: string): Shown {
  const parts = rest.split("/");
  const [first = "", second = ""] = parts;
  if (isNewest(first) || rest === "") {
    return { newest: newest[isNewest(first) ? first : usual], span: null, chosen: instant(second) };
  }
  const from = instant(first), to = instant(second);
  if (from === null || to === null || to - from < least || to - from > most) return { newest: newest[usual], span: null, chosen: null };
  return { newest: null, span: { from, to }, chosen: instant(parts[2] ?? "") };
}

/** The rest of the address of what is shown. */
export function writeShown({ newest: seconds, span, chosen }: Shown): string {
  const name = Object.entries(newest).find(([, length]) => length === seconds)?.[0];
  const parts = span === null ? [name ?? usual] : [written(span.from), written(span.to)];
  if (chosen !== null) parts.push(written(chosen));
  return parts.join("/");
}

function instant(text: string): number | null {
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\dZ$/.test(text)) return null;
  const ms = Date.parse(text);
  return Number.isNaN(ms) ? null : ms / 1000;
}

const written = (at: number): string => new Date(Math.round(at / 60) * 60_000).toISOString().slice(0, 16) + "Z";

/** A span moved by a share of its length. */
export const moved = ({ from, to }: Span, share: number): Span => {
  const by = (to - from) * share;
  return { from: from + by, to: to + by };
};

/** A span made longer or shorter by a factor, with one instant where it is. */
export function zoomed({ from, to }: Span, factor: number, around: number): Span {
  const length = Math.min(Math.max((to - from) * factor, least), most);
  const share = (around - from) / (to - from);
  return { from: around - length * share, to: around + length * (1 - share) };
}
