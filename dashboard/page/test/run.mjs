// Runs all test files, two at a time since they mostly wait for ticks, with one
// browser for all.
import { spawn } from "node:child_process";
import { readdirSync } from "node:fs";
import { chromium } from "playwright-core";
import { launch } from "./browser.mjs";
import { build } from "./server.mjs";

build();
const browser = await chromium.launchServer(launch);
const here = new URL(".", import.meta.url).pathname;
const files = readdirSync(here).filter((name) => name.endsWith(".test.mjs")).map((name) => here + name);
const tests = spawn(process.execPath, ["--test", "--test-concurrency=2", ...process.argv.slice(2), ...files], {
  stdio: "inherit",
  env: { ...process.env, SHARED_BROWSER: browser.wsEndpoint() },
});
process.exitCode = await new Promise((resolve) => tests.on("exit", (code) => resolve(code ?? 1)));
await browser.close();
