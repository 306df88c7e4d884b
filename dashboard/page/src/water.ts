// What hot water means to people.

import type { System } from "./api.ts";
import { texts } from "./texts.ts";

/** What is colder than so many °C, from cold to hot. Common practice, no source. */
const colderThanC = [[30, "cold"], [38, "lukewarm"], [45, "warm"], [60, "hot"]] as const;

/** Water in one word. */
export function waterWord(tempC: number): string {
  const found = colderThanC.find(([limitC]) => tempC < limitC);
  return texts.water.words[found?.[1] ?? "veryHot"];
}

/** From this tank top temperature on the page warns of scalding, °C. */
export const scaldingFromC = 50;

/**
 * A shower, in litres at the tap temperature: five to six minutes at 8 l/min.
 * Common practice, no source.
 */
const showerLitres = 45;

/** How much water at the tap temperature is left, rounded down; null while it is not known. */
export function waterLeft({ hot_litres }: System): { litres: number; showers: number } | null {
  if (hot_litres === null) return null;
  return { litres: Math.floor(hot_litres), showers: Math.floor(hot_litres / showerLitres) };
}
