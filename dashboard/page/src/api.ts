// The JSON interface as the page reads it; now.go beside this folder writes it.
// Both are tested against ../../testdata/now_*.json.

import { figure, flag, list, object, oneOf, orNull, text, type Shape } from "./decode.ts";

const reason = object({ key: text, text, values: list(figure) });

const reading = object({
  place: text,
  words: text,
  value: orNull(figure),
  unit: text,
  age_seconds: orNull(figure),
  quality: oneOf("good", "suspect", "missing"),
  held_over: flag,
  why: orNull(reason),
  fault: text,
  probe_kind: text,
  raw: text,
});

const vote = object({ level_ratio: figure, rank: text, reason });

const output = object({
  actuator: text,
  words: text,
  least_ratio: figure,
  level_ratio: figure,
  wanted_ratio: figure,
  rank: text,
  reason,
  urgent: flag,
  held_seconds: figure,
  fault: text,
  override_ratio: figure,
  override_seconds_left: figure,
  run_seconds: figure,
  switchings: figure,
  votes: list(vote),
});

const knowledge = oneOf("yes", "no", "unknown");

const outlook = object({
  decides: flag,
  learned_days: figure,
  sun_j: figure,
  told_ratio: figure,
  sun_low_ratio: figure,
  sun_seconds: figure,
  wanted_j: figure,
  wanted_seconds: figure,
  start_seconds: orNull(figure),
});

const system = object({
  name: text,
  loop: oneOf("pumped", "natural"),
  heater_power_w: figure,
  tank_limit_c: figure,
  store: oneOf("drinking water", "loop fluid"),
  heat_from_sun: knowledge,
  heat_from_meter: knowledge,
  hot_litres: orNull(figure),
  tap_c: figure,
  boost_seconds_left: figure,
  heater_opens_at: orNull(text),
  hygiene_due_seconds: orNull(figure),
  energy: object({
    from_sun_j: orNull(figure),
    from_meter_j: figure,
    drawn_j: orNull(figure),
    tank_loss_j: orNull(figure),
    loop_loss_j: orNull(figure),
    pump_j: figure,
    circulation_loss_j: orNull(figure),
    circulation_pump_j: figure,
  }),
  outlook: orNull(outlook),
  readings: list(reading),
  outputs: list(output),
});

const finding = object({
  kind: text,
  system: text,
  part: text,
  about: text,
  urgency: oneOf("information", "soon", "at_once"),
  title: text,
  evidence: reason,
  likely: text,
  check: text,
  detail: text,
  for_seconds: figure,
});

const now = object({
  site: text,
  version: text,
  tick: figure,
  wall: object({ local: text, zone: text, trusted: flag, sun_up: knowledge, sun_rises_at: orNull(text) }),
  up_seconds: figure,
  service_seconds: figure,
  late_seconds: figure,
  took_seconds: figure,
  servicing: flag,
  holiday_seconds_left: figure,
  readings: list(reading),
  systems: list(system),
  findings: list(finding),
  forecast_trouble: text,
});

const answer = object({ age_seconds: figure, may: oneOf("see", "use", "install"), now });
// What came of a request, as far as the page tells of it.
const done = object({ words: text, outputs: list(object({ words: text, reason })) });
const problem = object({ detail: text });

const changedValue = object({ number: figure, when: orNull(text), by: text, from: text });
const settings = object({
  table: list(object({ name: text, group: text, unit: text, allowed: text, default: text, meaning: text })),
  owners: list(object({
    system: text,
    values: list(object({ setting: text, value: text, file: text, changed: orNull(changedValue) })),
  })),
});
const changes = list(object({
  number: figure,
  when: orNull(text),
  by: text,
  system: text,
  values: list(object({ setting: text, from: text, to: text })),
}));

const beat = object({ age_seconds: orNull(figure) });

export type Reading = Shape<typeof reading>;
export type Output = Shape<typeof output>;
export type Knowledge = Shape<typeof knowledge>;
export type System = Shape<typeof system>;
export type Finding = Shape<typeof finding>;
export type Now = Shape<typeof now>;
export type Answer = Shape<typeof answer>;
export type Beat = Shape<typeof beat>;
export type May = Answer["may"];
export type Done = Shape<typeof done>;
export type Settings = Shape<typeof settings>;
export type Owner = Settings["owners"][number];
export type SettingRow = Settings["table"][number];
export type SettingValue = Owner["values"][number];
export type Change = Shape<typeof changes>[number];

/** Reads what /api/now and a "tick" event carry. */
export const readAnswer = (json: string, strict = false): Answer => answer(JSON.parse(json), "", strict);

/** Reads what a "beat" event carries. */
export const readBeat = (json: string): Beat => beat(JSON.parse(json), "", false);

/** Reads what came of a request. */
export const readDone = (json: string): Done => done(JSON.parse(json), "", false);

/** Reads why a request was refused, in words. */
export const readProblem = (json: string): string => problem(JSON.parse(json), "", false).detail;

/** Reads what /api/settings gives. */
export const readSettings = (json: string, strict = false): Settings => settings(JSON.parse(json), "", strict);

/** Reads what /api/changes gives. */
export const readChanges = (json: string, strict = false): Change[] => changes(JSON.parse(json), "", strict);
