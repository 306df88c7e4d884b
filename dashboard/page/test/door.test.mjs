// The first person sets a password on a daemon that lets other devices in, and
// looks at the page with it.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { createInterface } from "node:readline";
import { after, before, test } from "node:test";
import { browse } from "./browser.mjs";
import { build, out, program, repo } from "./server.mjs";

const password = "kettle meadow winter stone";
let folder, daemon, browser, network, board, code;

const freePort = () => new Promise((resolve) => {
  const server = createServer().listen(0, "127.0.0.1", () => {
    const { port } = server.address();
    server.close(() => resolve(port));
  });
});

before(async () => {
  folder = mkdtempSync(`${tmpdir()}/sunstoker-door-`);
  build();
  for (const output of ["pump", "heater", "second_pump", "second_heater"]) writeFileSync(`${folder}/${output}`, "");
  const port = await freePort();
  const site = readFileSync(`${repo}/cmd/sunstoker/testdata/footprint/site.toml`, "utf8")
    .replaceAll("{{.Folder}}", folder).replace("{{.Listen}}", "127.0.0.1:0");
  writeFileSync(`${folder}/site.toml`, `${site}\n[network]\nlisten = "0.0.0.0:${port}"\n[people]\ninstall = "anna"\n`);
  network = `https://localhost:${port}/`;
  daemon = spawn(program, ["run", "--allow-root", `${folder}/site.toml`], { stdio: ["ignore", "ignore", "pipe"] });
  await new Promise((resolve, reject) => {
    createInterface({ input: daemon.stderr }).on("line", (line) => {
      code ??= / code=(\S+)/.exec(line)?.[1];
      board ??= / page=(http:\S+)/.exec(line)?.[1];
      if (code && board) resolve();
    });
    daemon.on("exit", (status) => reject(new Error(`the program ended with ${status} before it showed a code`)));
  });
  browser = await browse();
});

after(async () => {
  await browser?.close();
  if (daemon?.kill("SIGTERM")) await new Promise((resolve) => daemon.on("close", resolve)); // it saves once more
  rmSync(folder, { recursive: true, force: true });
});

test("nobody gets in before the first password, then whoever has it does", async () => {
  const stranger = await browser.newContext({ ignoreHTTPSErrors: true, viewport: { width: 390, height: 844 } });
  const page = await stranger.newPage();
  await page.goto(network);
  assert.equal(new URL(page.url()).pathname, "/set-up");
  const fill = async (typed) => {
    await page.getByLabel("Name").fill("anna");
    await page.getByLabel("Set-up code").fill(typed);
    await page.getByLabel("New password, 12 letters or more").fill(password);
    await page.getByLabel("The same again").fill(password);
    await page.getByRole("button", { name: "Set the password" }).click();
  };
  await fill("AAAAA-AAAAA-AAAAA-AAAAA");
  await page.getByRole("alert").filter({ hasText: "This is not the set-up code." }).waitFor();
  await page.screenshot({ path: `${out}/set-up-phone.png`, fullPage: true });
  const asked = page.waitForResponse((answer) => answer.url() === network && answer.status() === 401);
  await fill(code);
  await asked; // the page, which asks for name and password from now on
  assert.equal((await stranger.request.get(`${network}api/now`)).status(), 401);

  const anna = await browser.newContext({ ignoreHTTPSErrors: true, httpCredentials: { username: "anna", password } });
  const own = await anna.newPage();
  const faults = [];
  own.on("pageerror", (fault) => faults.push(fault.message));
  await own.goto(network);
  await own.getByRole("button", { name: "Hot water now" }).first().waitFor();
  await own.screenshot({ path: `${out}/let-in-desktop.png`, fullPage: true });
  assert.deepEqual(faults, []);
});

test("on the board everybody sees, and who comes in with a name may install", async () => {
  const stranger = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  const outside = await stranger.newPage();
  outside.setDefaultTimeout(8000);
  await outside.goto(`${board}#installer`);
  await outside.getByText("You may see what stands here, and change nothing.").waitFor();
  await outside.getByText("This takes somebody who may install; you may see.").first().waitFor();
  assert.equal(await outside.getByRole("button", { name: "Begin the service state" }).isVisible(), false);

  const anna = await browser.newContext({ viewport: { width: 390, height: 844 }, httpCredentials: { username: "anna", password } });
  const page = await anna.newPage();
  page.setDefaultTimeout(8000);
  await page.goto(`${board}#installer`);
  await page.getByRole("button", { name: "Come in with name and password" }).click();
  await page.getByText("You may install:").waitFor();
  await page.getByRole("button", { name: "Begin the service state" }).waitFor();
  assert.equal(await page.getByRole("button", { name: "Come in" }).isVisible(), false);
  await page.screenshot({ path: `${out}/come-in-phone.png`, fullPage: true });
});
