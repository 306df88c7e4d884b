// Picks what a view needs out of a system.

import type { Output, Reading, System } from "../api.ts";

/** A good reading's value in its unit, or null. */
export function good(r: Reading | undefined): number | null {
  return r !== undefined && r.quality === "good" ? r.value : null;
}

/** A place's value in °C if its reading is good, or null. */
export const reading = (system: System, place: string): number | null =>
  good(system.readings.find((r) => r.place === place));

export const output = (system: System, actuator: string): Output | undefined =>
  system.outputs.find((o) => o.actuator === actuator);

/** Whether a place has a probe at all. */
export const wired = (system: System, place: string): boolean => system.readings.some((r) => r.place === place);
