// What the energy is shown of: a month by days, a year by months, or all by years;
// and how that stands in the address: "2026-02", "2026", "all".

export type Period =
  | { readonly by: "day"; readonly year: number; readonly month: number } // 1 for January
  | { readonly by: "month"; readonly year: number }
  | { readonly by: "year" };

/** Reads the rest of the address; none stands for the month of a civil day. */
export function readPeriod(rest: string, today: string): Period {
  const [, year, month] = /^(\d{4})(?:-(\d\d))?$/.exec(rest) ?? [];
  if (rest === "all") return { by: "year" };
  if (year !== undefined && month === undefined) return { by: "month", year: Number(year) };
  if (year !== undefined && Number(month) >= 1 && Number(month) <= 12) return { by: "day", year: Number(year), month: Number(month) };
  return { by: "day", year: Number(today.slice(0, 4)), month: Number(today.slice(5, 7)) };
}

const two = (n: number): string => String(n).padStart(2, "0");
const four = (n: number): string => String(n).padStart(4, "0");

/** The rest of the address. */
export function writePeriod(p: Period): string {
  if (p.by === "year") return "all";
  return p.by === "month" ? four(p.year) : `${four(p.year)}-${two(p.month)}`;
}

/** The one before or behind; none for all. */
export function neighbour(p: Period, by: -1 | 1): Period {
  if (p.by === "year") return p;
  if (p.by === "month") return { ...p, year: p.year + by };
  const at = p.year * 12 + p.month - 1 + by;
  return { by: "day", year: Math.floor(at / 12), month: (at % 12) + 1 };
}

/** Its civil days, from the first to before another. */
export function daysOf(p: Period, today: string): { from: string; to: string } {
  if (p.by === "year") return { from: `${four(Number(today.slice(0, 4)) - 30)}-01-01`, to: `${four(Number(today.slice(0, 4)) + 1)}-01-01` };
  if (p.by === "month") return { from: `${four(p.year)}-01-01`, to: `${four(p.year + 1)}-01-01` };
  const after = neighbour(p, 1) as { year: number; month: number };
  return { from: `${four(p.year)}-${two(p.month)}-01`, to: `${four(after.year)}-${two(after.month)}-01` };
}

/** The first civil days of its parts, in their order. */
export function partsOf(p: Period): string[] {
  if (p.by === "year") return []; // as many as there are
  if (p.by === "month") return Array.from({ length: 12 }, (_, i) => `${four(p.year)}-${two(i + 1)}-01`);
  const length = new Date(Date.UTC(p.year, p.month, 0)).getUTCDate();
  return Array.from({ length }, (_, i) => `${four(p.year)}-${two(p.month)}-${two(i + 1)}`);
}

/** How long a part lasts that begins on a civil day, in seconds; a day's change of the clock does not matter here. */
export function secondsOf(begin: string, by: Period["by"]): number {
  const [year = 0, month = 1, day = 1] = begin.split("-").map(Number);
  const end = by === "year" ? Date.UTC(year + 1, 0, 1) : by === "month" ? Date.UTC(year, month, 1) : Date.UTC(year, month - 1, day + 1);
  return (end - Date.UTC(year, month - 1, day)) / 1000;
}
