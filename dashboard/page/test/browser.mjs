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
