// What hot water means to people.

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
