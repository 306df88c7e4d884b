// The browser of the tests: Debian's, without a net of its own. run.mjs starts
// one for all test files; a file that is run by itself starts its own.
import { chromium } from "playwright-core";

export const launch = {
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
};

/** Closing what it gives ends what was opened by it, and no more. */
export const browse = () => {
  const shared = process.env.SHARED_BROWSER;
  return shared ? chromium.connect(shared) : chromium.launch(launch);
};

/**
 * Gathers what a page complains of on its console and what it fails at. That the
 * server has no place left for live events, because those of the page before are
 * not gone yet, is none of it: the page then asks now and then.
 */
export function complaintsOf(page) {
  const complaints = [];
  const full = (m) => m.text().includes("503") && m.location().url.endsWith("/api/events");
  page.on("console", (m) => ["error", "warning"].includes(m.type()) && !full(m) && complaints.push(m.text()));
  page.on("pageerror", (e) => complaints.push(String(e)));
  return complaints;
}
