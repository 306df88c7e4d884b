// What happens next, as far as the controller foresees it.

import type { Now, Output, System } from "../api.ts";
import { ending, energy, nameOf, texts, wholeHours } from "../texts.ts";
import { output } from "./pick.ts";

const day = 24 * 3600;

/** What a system will do next, in a few sentences at most; the most important first. */
export function next(system: System, now: Now): string[] {
  if (now.servicing) return [texts.next.servicing];
  const heater = output(system, "backup_heater");
  const hygieneNow = heater?.reason.key === "hygiene";
  return [
    ...system.outputs.filter((o) => o.override_seconds_left > 0).map((o) => byHand(o, now)),
    ...(heater === undefined ? [] : ofHeater(heater, system, now)),
    ...night(system, now),
    ...(hygieneNow ? [] : hygiene(system)),
    ...(system.outlook === null || now.forecast_trouble === "" ? [] : [texts.next.forecast(now.forecast_trouble)]),
  ];
}

const byHand = (o: Output, now: Now): string =>
  texts.next.byHand(nameOf(texts.actuators, o.actuator, o.words), ending(now.wall, o.override_seconds_left));

function ofHeater(heater: Output, system: System, now: Now): string[] {
  const [, second, third] = heater.reason.values;
  if (heater.override_seconds_left > 0) return [];
  if (heater.reason.key === "hygiene") return [texts.next.hygiene(second ?? 0, third ?? 0)];
  if (system.boost_seconds_left > 0) return [texts.next.boost(ending(now.wall, system.boost_seconds_left))];
  if (now.holiday_seconds_left > 0) return [texts.next.holiday(ending(now.wall, now.holiday_seconds_left))];
  if (heater.level_ratio > 0 || heater.rank === "protection") return []; // until when stands in its reason
  if (system.outlook?.decides === true) return foreseen(heater, system.outlook, now);
  if (system.heater_opens_at !== null) return [texts.next.opens(system.heater_opens_at)];
  return heater.reason.key === "heater_warm" ? [texts.next.helps(second ?? 0)] : [];
}

/** What the rule that waits for the sun foresees. */
function foreseen(heater: Output, { start_seconds, ...of }: NonNullable<System["outlook"]>, now: Now): string[] {
  const sun = texts.next.within(energy(of.sun_j), wholeHours(of.sun_seconds));
  const wanted = texts.next.within(energy(of.wanted_j), wholeHours(of.wanted_seconds));
  if (start_seconds === null) return [texts.next.enough(sun, wanted)];
  const start = ending(now.wall, start_seconds);
  return [heater.reason.key === "sun_first_waits" ? texts.next.waits(start, sun, wanted) : texts.next.later(start)];
}

/** At night nothing comes from the sun; an outlook has told of the sun already. */
function night(system: System, { wall }: Now): string[] {
  if (wall.sun_up !== "no" || system.outlook?.decides === true) return [];
  return [wall.sun_rises_at === null ? texts.next.polarNight : texts.next.night(wall.sun_rises_at)];
}

function hygiene({ hygiene_due_seconds: due }: System): string[] {
  if (due === null || due > day) return [];
  return [due === 0 ? texts.next.hygieneDue : texts.next.hygieneIn(due)];
}
