// Keeps the line to the controller: live events, and single questions while
// the board has no place left for a live viewer.

import { readAnswer, readBeat, type May, type Now } from "./api.ts";

/**
 * connecting: nothing was heard yet; waiting: the controller has no tick yet;
 * live: all is well; old: the line stands but the controller does not tick;
 * lost: there is no line.
 */
export type Line = "connecting" | "waiting" | "live" | "old" | "lost";

export interface News {
  readonly line: Line;
  readonly now: Now | null;
  readonly may: May; // what who looks may ask for
  readonly ageSeconds: number; // of the tick, in real time
  readonly misfit: boolean; // what came could not be read
}

const silentAfterMs = 12_000; // the controller sends a beat every 5 s
const oldAfterSeconds = 10;
const brokenAfterMs = 3_000; // so that a short break makes no noise
const pollMs = 5_000;
const retryMs = 30_000;

export class Feed {
  private source: EventSource | null = null;
  private now: Now | null = null;
  private may: May = "see";
  private ageAtArrival = 0;
  private arrivedMs = 0; // when the newest tick's age was last heard
  private heardMs: number; // when anything was last heard
  private heard = false;
  private brokenMs: number | null = null;
  private misfit = false;
  private poller = 0;

  constructor(private readonly tell: (news: News) => void) {
    this.heardMs = performance.now();
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible" && this.line() === "lost") this.open();
    });
    window.setInterval(() => this.report(), 1000);
    this.open();
  }

  private open(): void {
    this.source?.close();
    window.clearTimeout(this.poller);
    const source = new EventSource("api/events");
    this.source = source;
    source.addEventListener("tick", (e) => this.hearTick(e.data));
    source.addEventListener("beat", (e) => this.hear(readBeat(e.data).age_seconds));
    source.addEventListener("error", () => {
      if (source.readyState === EventSource.CLOSED) this.poll(performance.now() + retryMs);
      else this.brokenMs ??= performance.now();
    });
  }

  /** Asks now and then, until it is time to try for live events again. */
  private poll(untilMs: number): void {
    window.clearTimeout(this.poller);
    fetch("api/now", { cache: "no-store" })
      .then(async (r) => {
        if (r.ok) this.hearTick(await r.text());
        else if (r.status === 503) this.hear(null);
      })
      .catch(() => {
        this.brokenMs ??= performance.now();
      })
      .finally(() => {
        const next = performance.now() < untilMs ? () => this.poll(untilMs) : () => this.open();
        this.poller = window.setTimeout(next, pollMs);
      });
  }

  private hearTick(data: string): void {
    try {
      const answer = readAnswer(data);
      this.now = answer.now;
      this.may = answer.may;
      this.misfit = false;
      this.hear(answer.age_seconds);
    } catch (e) {
      console.warn(e);
      this.misfit = true;
      this.report();
    }
  }

  private hear(ageSeconds: number | null): void {
    this.heardMs = performance.now();
    this.heard = true;
    this.brokenMs = null;
    if (ageSeconds === null) this.now = null; // started anew
    else [this.ageAtArrival, this.arrivedMs] = [ageSeconds, this.heardMs];
    this.report();
  }

  private ageSeconds(): number {
    return this.ageAtArrival + (performance.now() - this.arrivedMs) / 1000;
  }

  private line(): Line {
    const ms = performance.now();
    const broken = this.brokenMs !== null && ms - this.brokenMs > brokenAfterMs;
    if (broken || ms - this.heardMs > silentAfterMs) return "lost";
    if (!this.heard) return "connecting";
    if (this.now === null) return "waiting";
    return this.ageSeconds() > oldAfterSeconds ? "old" : "live";
  }

  private report(): void {
    this.tell({ line: this.line(), now: this.now, may: this.may, ageSeconds: this.ageSeconds(), misfit: this.misfit });
  }
}
