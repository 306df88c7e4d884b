// Heat and electricity of a period, out of what the history has added up.

import type { Past, Sheet } from "../past/read.ts";

export interface Sum {
  readonly begin: string; // civil day that it begins on, such as 2026-02-01
  readonly sunJ: number;
  readonly meterJ: number;
  readonly pumpJ: number;
  readonly watchedSeconds: number;
}

/** Adds up a sheet's systems, or one of them. */
export function sumsOf(sheet: Sheet, system: string): Sum[] {
  const of = (sums: readonly number[], name: string): number => sheet.series.reduce(
    (all, s, i) => (s.name === name && (system === "" || s.system === system) ? all + (sums[i] ?? 0) : all), 0);
  return sheet.periods.map((p) => ({
    begin: p.begin.slice(0, 10), watchedSeconds: p.watched_seconds,
    sunJ: of(p.sums_j, "sun_heat"), meterJ: of(p.sums_j, "meter_heat"), pumpJ: of(p.sums_j, "pump_electricity"),
  }));
}

export const total = (sums: readonly Sum[]): Sum => sums.reduce((a, b) => ({
  begin: a.begin, sunJ: a.sunJ + b.sunJ, meterJ: a.meterJ + b.meterJ, pumpJ: a.pumpJ + b.pumpJ, watchedSeconds: a.watchedSeconds + b.watchedSeconds,
}), { begin: sums[0]?.begin ?? "", sunJ: 0, meterJ: 0, pumpJ: 0, watchedSeconds: 0 });

/** Share of the heat that came from the sun; null when there was none. */
export const solarShare = ({ sunJ, meterJ }: Sum): number | null => (sunJ + meterJ > 0 ? sunJ / (sunJ + meterJ) : null);

/** What the sun's heat would have cost from the meter, less what the loop pump took. */
export const savedMoney = ({ sunJ, pumpJ }: Sum, perKWh: number): number => ((sunJ - pumpJ) / 3.6e6) * perKWh;

/** Whether heat from the sun is counted, which takes probes that not every house has. */
export const countsSun = (past: Past, system: string): boolean =>
  past.series.some((s) => s.name === "sun_heat" && (system === "" || s.system === system));

/** What was promised of a month, 0 for January, or of a year when it is null; null when nothing was. */
export function promisedJ(past: Past, system: string, month: number | null): number | null {
  const plans = past.promised.filter((p) => system === "" || p.system === system);
  const counted = new Set(past.series.filter((s) => s.name === "sun_heat" && (system === "" || s.system === system)).map((s) => s.system));
  if (plans.length === 0 || plans.length < counted.size) return null; // of the whole house only when all of it was planned
  return plans.reduce((all, p) => all + (month === null ? p.by_month_j.reduce((a, b) => a + b, 0) : (p.by_month_j[month] ?? 0)), 0);
}
