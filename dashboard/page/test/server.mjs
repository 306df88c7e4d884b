// Serves the page by the program's own handler: a Go test binary that takes
// scenes from its standard input.
import { execFileSync, spawn } from "node:child_process";
import { mkdirSync } from "node:fs";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

export const repo = fileURLToPath(new URL("../../..", import.meta.url));
export const out = `${repo}/build/page`;

export async function startServer() {
  mkdirSync(out, { recursive: true });
  const binary = `${out}/dashboard.test`;
  execFileSync("go", ["test", "-c", "-o", binary, "./dashboard"], { cwd: repo, stdio: "inherit" });
  const server = spawn(binary, ["-test.run=^TestServeThePage$", "-test.timeout=0", "-serve-the-page"],
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
