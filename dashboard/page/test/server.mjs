// What the tests look at: the page served by the program's own handler, from a
// Go test binary that takes scenes from its standard input; and a running demo.
import { execFileSync, spawn } from "node:child_process";
import { mkdirSync } from "node:fs";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

export const repo = fileURLToPath(new URL("../../..", import.meta.url));
export const out = `${repo}/build/page`;
const handler = `${out}/dashboard.test`;

/** The program, built when this was first asked for. */
export const program = `${out}/sunstoker`;

/** Builds what the tests start, unless run.mjs has. */
export function build() {
  if (process.env.SHARED_BUILD) return;
  mkdirSync(out, { recursive: true });
  execFileSync("go", ["test", "-c", "-o", handler, "./dashboard"], { cwd: repo, stdio: "inherit" });
  execFileSync("go", ["build", "-o", program, "./cmd/sunstoker"], { cwd: repo, stdio: "inherit" });
  process.env.SHARED_BUILD = "1";
}

/** Serves scenes, order("sunny"), of a house with so many days of history behind it. */
export async function startServer(pastDays = 0) {
  build();
  const server = spawn(handler, ["-test.run=^TestServeThePage$", "-test.timeout=0", "-serve-the-page", `-past-days=${pastDays}`],
    { cwd: `${repo}/dashboard`, stdio: ["pipe", "pipe", "inherit"] });
  const url = await new Promise((resolve, reject) => {
    createInterface({ input: server.stdout }).on("line", (line) => line.startsWith("http") && resolve(line));
    server.on("exit", (code) => reject(new Error(`the server ended with ${code} before it served`)));
  });
  const ended = new Promise((resolve) => server.on("exit", resolve));
  return {
    url,
    order: (line) => server.stdin.write(line + "\n"),
    stop: () => { server.stdin.end(); return ended; },
  };
}

/**
 * A demo at sixty times the speed, past the first minutes, in which readings are
 * doubted and outputs rest.
 */
export async function startDemo() {
  build();
  const demo = spawn(program, ["demo", "--listen", "127.0.0.1:0", "--speed", "60"], { stdio: ["ignore", "pipe", "ignore"] });
  const ended = new Promise((resolve) => demo.on("exit", resolve));
  const url = await new Promise((resolve, reject) => {
    createInterface({ input: demo.stdout }).on("line", (line) => {
      const page = /^page\s+(http\S+)/.exec(line);
      if (page) resolve(page[1]);
    });
    demo.on("exit", (code) => reject(new Error(`the demo ended with ${code} before it served`)));
  });
  for (let upSeconds = 0; upSeconds < 200;) {
    await new Promise((resolve) => setTimeout(resolve, 200));
    const answer = await fetch(`${url}api/now`);
    if (answer.ok) upSeconds = (await answer.json()).now.up_seconds;
  }
  return { url, stop: () => { demo.kill("SIGTERM"); return ended; } };
}
