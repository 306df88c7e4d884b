// Asks the controller for what was. The board reads its history for one at a time;
// who is told to come later does so.

import { readProblem } from "../api.ts";
import { sentence, texts } from "../texts.ts";

/** What was asked for, or why it did not come, in words. */
export type Found<T> = { readonly value: T } | { readonly words: string };

const tries = 4;
const mostPauseSeconds = 5; // who is told to wait for longer is told so

/** Asks by a path with parameters; gives undefined when the question was taken back. */
export async function askPast<T>(
  path: string, parameters: Record<string, string | readonly string[]>, read: (json: string) => T, signal: AbortSignal,
): Promise<Found<T> | undefined> {
  const query = new URLSearchParams();
  for (const [name, values] of Object.entries(parameters)) {
    for (const value of typeof values === "string" ? [values] : values) query.append(name, value);
  }
  try {
    for (let left = tries; ; left--) {
      const answer = await fetch(`api/${path}?${query}`, { cache: "no-store", signal });
      const json = await answer.text();
      if (answer.ok) return { value: read(json) };
      const later = Number(answer.headers.get("Retry-After"));
      if (answer.status !== 503 || left <= 1 || !(later > 0 && later <= mostPauseSeconds)) return { words: sentence(readProblem(json)) };
      await pause(later, signal);
    }
  } catch (e) {
    if (signal.aborted) return undefined;
    console.info(e);
    return { words: texts.past.unheard };
  }
}

function pause(seconds: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve, reject) => {
    const timer = window.setTimeout(resolve, seconds * 1000);
    signal.addEventListener("abort", () => {
      window.clearTimeout(timer);
      reject(new Error("taken back"));
    }, { once: true });
  });
}

/** What stands in the way of showing the past, in words; empty when nothing does. */
export function troubleOf({ trouble, kept = true }: { readonly trouble: string; readonly kept?: boolean }): string {
  if (trouble === "") return "";
  return kept ? texts.past.trouble(trouble) : texts.past.none(trouble);
}

/** Questions of which only the newest counts: each takes the one before back. */
export class Asker {
  private running = new AbortController();

  async ask<T>(path: string, parameters: Record<string, string | readonly string[]>, read: (json: string) => T): Promise<Found<T> | undefined> {
    this.drop();
    const own = this.running;
    const found = await askPast(path, parameters, read, own.signal);
    return own.signal.aborted ? undefined : found;
  }

  drop(): void {
    this.running.abort();
    this.running = new AbortController();
  }
}
