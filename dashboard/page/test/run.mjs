// Runs all test files one after the other, with one browser and one demo for all.
import { spawn } from "node:child_process";
import { readdirSync } from "node:fs";
import { chromium } from "playwright-core";
import { launch } from "./browser.mjs";
import { build, startDemo } from "./server.mjs";

build();
const browser = await chromium.launchServer(launch);
const demo = await startDemo();
const here = new URL(".", import.meta.url).pathname;
const files = readdirSync(here).filter((name) => name.endsWith(".test.mjs")).map((name) => here + name);
const tests = spawn(process.execPath, ["--test", "--test-concurrency=1", ...process.argv.slice(2), ...files], {
  stdio: "inherit",
  env: { ...process.env, SHARED_BROWSER: browser.wsEndpoint(), SHARED_DEMO: demo.url },
});
process.exitCode = await new Promise((resolve) => tests.on("exit", (code) => resolve(code ?? 1)));
await demo.stop();
await browser.close();
