// The history as the page reads it; past_*.go beside the page's folder write it.

import { figure, flag, list, object, oneOf, orNull, text, type Reader, type Shape } from "../decode.ts";

const seriesFields = { series: text, system: text, name: text, words: text, unit: text, sum: flag };
const series = object(seriesFields);

const event = object({
  time: text, sure: flag, kind: text, system: text, part: text, part_words: text, level_ratio: figure,
  rank: text, what: text, what_words: text, reason: text, text, detail: text,
});

const past = object({
  kept: flag,
  trouble: text,
  zone: text,
  oldest: orNull(text),
  newest: orNull(text),
  series: list(series),
  price: orNull(object({ per_kwh: figure, currency: text })),
  promised: list(object({ system: text, by_month_j: list(figure) })),
});

const points = list(orNull(figure));
const chart = object({
  trouble: text,
  span_seconds: figure,
  starts: list(figure),
  sure: list(flag),
  lines: list(object({ ...seriesFields, mean: points, low: points, high: points, amount: points })),
});

const sheet = object({
  trouble: text,
  by: oneOf("hour", "day", "month", "year"),
  series: list(series),
  periods: list(object({ begin: text, watched_seconds: figure, sums_j: list(figure) })),
});

const findings = object({
  trouble: text,
  findings: list(object({
    kind: text, system: text, part: text, part_words: text, title: text, text, detail: text,
    since: text, until: orNull(text), sure: flag,
  })),
  more: flag,
});

const moment = object({
  trouble: text,
  start: orNull(text),
  span_seconds: figure,
  watched_seconds: figure,
  sure: flag,
  figures: list(object({
    ...seriesFields, known_seconds: figure,
    mean: orNull(figure), low: orNull(figure), high: orNull(figure), amount: orNull(figure),
  })),
  before: orNull(text),
  after: orNull(text),
  decisions: list(event),
  overrides: list(event),
  findings: list(event),
});

export type Past = Shape<typeof past>;
export type Series = Shape<typeof series>;
export type Chart = Shape<typeof chart>;
export type Line = Chart["lines"][number];
export type Sheet = Shape<typeof sheet>;
export type PastFinding = Shape<typeof findings>["findings"][number];
export type Moment = Shape<typeof moment>;
export type Happened = Shape<typeof event>;

const reading = <T>(reader: Reader<T>) => (json: string, strict = false): T => reader(JSON.parse(json), "", strict);

export const readPast = reading(past);
export const readChart = reading(chart);
export const readSheet = reading(sheet);
export const readFindings = reading(findings);
export const readMoment = reading(moment);
