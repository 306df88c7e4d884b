// Looks at the built page in a real browser. Run `npm run build` before it.
import assert from "node:assert/strict";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { gzipSync } from "node:zlib";
import { browse, complaintsOf } from "./browser.mjs";
import { out, repo, startServer } from "./server.mjs";

const dist = `${repo}/dashboard/page/dist`;
const phone = { width: 390, height: 844 };
const desktop = { width: 1280, height: 800 };
let server, browser;

before(async () => {
  assert.ok(existsSync(`${dist}/index.html`), "the page is not built; run npm run build first");
  server = await startServer();
  browser = await browse();
});

after(async () => {
  await browser?.close();
  await server?.stop();
});

// Opens the page; whatever the console or the policy complains of is kept.
async function open(viewport, options = {}) {
  const context = await browser.newContext({ viewport, ...options });
  const page = await context.newPage();
  page.complaints = complaintsOf(page);
  page.on("requestfailed", (r) => // a page that is left drops what it still waits for
    r.url().includes("/api/") || r.failure().errorText === "net::ERR_ABORTED" || page.complaints.push(`failed: ${r.url()}`));
  await page.goto(server.url);
  return page;
}

const sees = (page, text) => page.getByText(text).first().waitFor({ timeout: 8000 });
const shot = (page, name) => page.screenshot({ path: `${out}/${name}.png`, fullPage: true });

async function close(page) {
  const { scrollWidth, clientWidth } = await page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    return { scrollWidth, clientWidth };
  });
  await page.context().close();
  assert.deepEqual(page.complaints, []);
  assert.ok(scrollWidth <= clientWidth, `the page is ${scrollWidth} wide on a screen of ${clientWidth}`);
}

test("a page is small", () => {
  const all = readdirSync(dist).filter((n) => n !== ".keep").map((n) => gzipSync(readFileSync(`${dist}/${n}`)).length);
  assert.ok(all.reduce((a, b) => a + b) < 150_000, `${all} bytes compressed`);
});

test("before the first tick the page says so, then comes alive", async () => {
  const page = await open(phone);
  await sees(page, "The controller has just been started");
  server.order("sunny");
  await sees(page, "The sun is heating the water.");
  await close(page);
});

for (const [size, viewport] of Object.entries({ phone, desktop })) {
  for (const colorScheme of ["light", "dark"]) {
    test(`sun, trouble, night and a full tank: ${size}, ${colorScheme}`, async () => {
      server.order("sunny");
      const page = await open(viewport, { colorScheme, deviceScaleFactor: 2 });
      await sees(page, "The sun is heating the water.");
      await sees(page, "Loop pump: The collector, 61.3 °C, is 24.9 K hotter than the tank bottom.");
      await sees(page, "84 litres at 40 °C are left, enough for one shower.");
      await sees(page, "if nothing changes, the backup heater starts at 14:42.");
      await sees(page, "No findings: nothing is known to be wrong.");
      assert.match(await page.title(), /^47\.8\s°C hot · House on the hill$/);
      assert.match(await page.getByRole("img").getAttribute("aria-label"), /tank top 47\.8\s°C.*loop pump running, backup heater off/);
      assert.equal(await page.getByText("Scalding danger").isVisible(), false);
      await shot(page, `sunny-${size}-${colorScheme}`);

      server.order("trouble");
      await sees(page, "An output can't be switched: loop pump, roof");
      await sees(page, "Set by hand to on for another 29 min");
      await sees(page, "It can't be switched: GPIO17 is held by another program.");
      await sees(page, "A minimum time holds it for another 34 s.");
      await sees(page, "Whether the sun is heating the water can't be told just now.");
      assert.equal(await page.getByText("Scalding danger").count() > 0, true);
      assert.equal(await page.getByText("clock not set").isVisible(), true);
      assert.equal(await page.locator("dd", { hasText: "at rest?" }).isVisible(), true);
      assert.equal(await page.getByText("85.0 °C?").isVisible(), true);
      assert.equal(await page.getByText("too old, 4 min old").isVisible(), true);
      await sees(page, /^last good value, (28|29|3\d) s old$/);
      await sees(page, "water at the top of the tank, as last known");
      await sees(page, "The newest sample failed: the checksum does not fit.");
      await sees(page, "The heater heats and the tank top does not show it: guest house");
      await sees(page, "All 7 findings, and what to do");
      await sees(page, "Somebody works on the plant: nothing is heated or pumped until the service state ends.");
      await sees(page, "ran 20 min, switched once in all");
      await page.getByText("How this was decided").last().click();
      await sees(page, "hygiene: on, hygiene heat-up: the tank top, 31.2 °C, must be held at 60.0 °C for 30 min");
      await sees(page, "protection: off, it has heated for 1.5 h with no sign of it at the tank top");
      await shot(page, `trouble-${size}-${colorScheme}`);

      server.order("night");
      await sees(page, "The backup heater is heating the water, with electricity from the meter.");
      await sees(page, "No water at 40 °C is left.");
      await sees(page, "It is night; the sun rises at 06:58. The next hygiene heat-up is due in 5.0 h.");
      await shot(page, `night-${size}-${colorScheme}`);

      server.order("calm");
      await sees(page, "Nothing is heating the water just now.");
      await sees(page, "Scalding danger");
      assert.match(await page.getByRole("img").getAttribute("aria-label"), /hot-water circulation running/);
      await shot(page, `calm-${size}-${colorScheme}`);
      await close(page);
    });
  }
}

test("a reading that is not believed is not passed over when there is no finding", async () => {
  server.order("doubted");
  const page = await open(phone);
  await sees(page, "Some readings are missing or doubted; they are being watched.");
  await sees(page, "has never run yet");
  assert.equal(await page.getByText("No findings").count(), 0);
  await shot(page, "doubted-phone");
  server.order("sunny");
  await sees(page, "No findings: nothing is known to be wrong.");
  await close(page);
});

test("a screen reader is told of changes, and the keyboard reaches everything", async () => {
  server.order("sunny");
  const page = await open(phone);
  await sees(page, "The sun is heating the water.");
  const told = page.getByRole("status");
  assert.equal(await told.textContent(), "");
  server.order("night");
  await page.waitForFunction(() => document.querySelector("[role=status]").textContent.includes("The backup heater is heating"));
  for (const role of ["banner", "main", "contentinfo"]) assert.equal(await page.getByRole(role).count(), 1, role);
  assert.equal(await page.getByRole("heading", { level: 1 }).textContent(), "House on the hill");
  const reached = [];
  for (let last = ""; last !== "SUMMARY"; reached.push(last)) {
    await page.keyboard.press("Tab");
    last = await page.evaluate(() => document.activeElement.tagName === "SUMMARY" ? "SUMMARY" : document.activeElement.textContent);
    assert.ok(reached.length < 20, reached.join());
  }
  assert.deepEqual(reached.slice(0, 2), ["At a glance", "Days"]);
  await page.keyboard.press("Enter");
  await sees(page, "The strongest vote wins");
  server.order("night");
  await page.waitForTimeout(1200);
  assert.equal(await page.evaluate(() => document.activeElement.parentElement.open), true, "new readings close what was opened");
  await close(page);
});

test("views are reached by link, address and back, and say where one is", async () => {
  server.order("trouble");
  const page = await open(phone);
  const current = () => page.locator("nav [aria-current=page]").textContent();
  await sees(page, "What is wrong");
  assert.equal(await current(), "At a glance");
  await page.getByRole("link", { name: "All 7 findings, and what to do" }).click();
  await page.getByRole("heading", { level: 2, name: "Findings" }).waitFor();
  assert.match(await current(), /^Findings \(\d\)$/);
  assert.match(await page.title(), /^Findings · House on the hill$/);
  assert.equal(new URL(page.url()).hash, "#findings");
  assert.equal(await page.evaluate(() => document.activeElement.textContent), "Findings", "the focus stays behind");
  await sees(page, "Read the detail. Stop the other program");
  await page.goBack();
  await sees(page, "What is wrong");
  assert.equal(await current(), "At a glance");
  await page.goto(`${server.url}#nowhere/at/all`);
  assert.equal(await current(), "At a glance");
  await page.goto(`${server.url}#findings`);
  await page.reload();
  await sees(page, "Read the detail. Stop the other program");
  await close(page);
});

test("the page speaks the browser's language, until another is chosen", async () => {
  server.order("sunny");
  const page = await open(phone, { locale: "es-ES" });
  await sees(page, "El sol calienta el agua.");
  await sees(page, "Quedan 84 litros a 40 °C, para una ducha.");
  await sees(page, "Parte de lo que dice el propio programa, como los avisos, está en inglés.");
  assert.match(await page.title(), /^47,8\s°C caliente · House on the hill$/);
  assert.equal(await page.locator("html").getAttribute("lang"), "es");
  const why = page.getByText("el colector, a 61,3 °C, está 24,9 K más caliente que la parte baja del depósito");
  assert.equal(await why.first().getAttribute("lang"), null, "a Spanish reason is marked as another language's");
  await shot(page, "sunny-phone-spanish");
  await page.getByLabel("Idioma").selectOption("English");
  await sees(page, "The sun is heating the water.");
  await page.reload();
  await sees(page, "The sun is heating the water.");
  assert.equal(await page.locator("html").getAttribute("lang"), "en");
  await close(page);
});

test("long texts and markup stay texts, and fit the narrowest phone", async () => {
  server.order("long");
  const page = await open({ width: 320, height: 640 });
  await sees(page, "An output can't be switched");
  assert.match(await page.getByRole("heading", { level: 1 }).textContent(), /^<img src="x"/);
  assert.equal(await page.locator("img").count(), 0);
  assert.doesNotMatch(await page.title(), /^broken/);
  await shot(page, "long-phone");
  await close(page);
});

test("with no place left for a live viewer the page asks now and then", async () => {
  server.order("sunny");
  const first = await open(phone), second = await open(phone);
  await sees(second, "The sun is heating the water.");
  const third = await open(phone);
  await sees(third, "The sun is heating the water.");
  for (const page of [first, second, third]) await close(page);
});

test("old data and a lost line are told in plain words", async () => {
  server.order("sunny");
  const page = await open(phone);
  await sees(page, "The sun is heating the water.");
  server.order("older 95s");
  await sees(page, "The controller has not reported for 2 min.");
  await sees(page, "Last known: The sun is heating the water.");
  assert.equal(await page.getByText("fresh").count(), 0, "old readings are called fresh");
  assert.equal(await page.getByText("No findings").isVisible(), false);
  await shot(page, "old-phone");
  server.order("sunny");
  await page.getByText("The controller has not reported").waitFor({ state: "hidden" });
  await server.stop();
  await sees(page, "The connection to the controller is lost.");
  await shot(page, "lost-phone");
  page.complaints = page.complaints.filter((c) => !c.includes("ERR_"));
  await close(page);
});
