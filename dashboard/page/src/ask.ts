// Asks the controller for something, and brings its answer back in words.

import { readDone, readProblem } from "./api.ts";
import { sentence, texts } from "./texts.ts";

const answerWithinMs = 12_000; // more than the controller lets a request wait

export interface Outcome {
  readonly granted: boolean;
  readonly words: string;
  readonly ofProgram: boolean; // the words are the program's own
  readonly reasons: readonly string[]; // of the outputs that it is about
}

/** Asks by PUT or PATCH with a body, or by DELETE to end something. */
export async function ask(method: "PUT" | "PATCH" | "DELETE", path: string, body?: Record<string, string | boolean>): Promise<Outcome> {
  try {
    const response = await fetch(path, {
      method,
      cache: "no-store",
      signal: AbortSignal.timeout(answerWithinMs),
      ...(body && { headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) }),
    });
    const answer = await response.text();
    if (!response.ok) return refusal(response.status, answer);
    const { words, outputs } = readDone(answer);
    return { granted: true, words, ofProgram: true, reasons: outputs.map((o) => sentence(`${o.words}: ${o.reason.text}`)) };
  } catch (e) {
    console.info(e);
    return refused(texts.ask.unheard);
  }
}

/** What the page itself says against a request. */
export const refused = (words: string): Outcome => ({ granted: false, words, ofProgram: false, reasons: [] });

function refusal(status: number, answer: string): Outcome {
  try {
    return { ...refused(sentence(readProblem(answer))), ofProgram: true };
  } catch {
    return refused(texts.ask.refused(status));
  }
}

/** Reads what the controller shows at a path; what went wrong is thrown, in words. */
export async function look<T>(path: string, read: (json: string) => T): Promise<T> {
  const response = await fetch(path, { cache: "no-store", signal: AbortSignal.timeout(answerWithinMs) }).catch((e: unknown) => {
    console.info(e);
    throw new Error(texts.ask.unheard);
  });
  const answer = await response.text();
  if (!response.ok) throw new Error(refusal(response.status, answer).words);
  return read(answer);
}
