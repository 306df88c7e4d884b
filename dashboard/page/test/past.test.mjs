// The views of what was: days, energy and findings that are gone, on a house with
// three weeks of invented history, and on houses that have none to show.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { bringAxe, faultsOf } from "./axe.mjs";
import { browse, complaintsOf } from "./browser.mjs";
import { load } from "./modules.mjs";
import { out, startServer } from "./server.mjs";

const sizes = { phone: { width: 360, height: 740 }, desktop: { width: 1280, height: 800 } };
const schemes = { phone: "light", desktop: "dark" };
let server, browser;

before(async () => {
  server = await startServer(20);
  browser = await browse();
});

after(async () => {
  await browser?.close();
  await server?.stop();
});

async function open(size, view, prepare) {
  const context = await browser.newContext({ viewport: sizes[size], colorScheme: schemes[size], reducedMotion: "reduce", hasTouch: size === "phone", timezoneId: "Pacific/Auckland" });
  await bringAxe(context);
  const page = await context.newPage();
  page.setDefaultTimeout(8000);
  page.faults = complaintsOf(page);
  await prepare?.(page);
  server.order("sunny");
  await page.goto(`${server.url}#${view}`);
  return page;
}

async function close(page, name) {
  const faults = await faultsOf(page);
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  if (name) await page.screenshot({ path: `${out}/${name}.png`, fullPage: true });
  await page.context().close();
  assert.deepEqual(faults, []);
  assert.ok(over <= 0, `the page is ${over} wider than the screen`);
  assert.deepEqual(page.faults, []);
}

const told = (page, words) => page.locator(".told").filter({ hasText: words }).waitFor();
const rest = (page) => page.evaluate(() => location.hash);

// How many different colours the curves' picture has: a blank one has one.
const colours = (page) => page.locator("canvas").first().evaluate((el) => {
  const { data } = el.getContext("2d").getImageData(0, 0, el.width, el.height);
  const found = new Set();
  for (let i = 0; i < data.length; i += 4) if (data[i + 3] > 200) found.add((data[i] << 16) | (data[i + 1] << 8) | data[i + 2]);
  return found.size;
});

for (const size of Object.keys(sizes)) {
  test(`days: curves, spans, and why at an instant: ${size}`, async () => {
    const page = await open(size, "days");
    await told(page, /^18\sFebruary\s2026, 12:42 to 19\sFebruary\s2026, 12:42\.$/); // the house's time, not the browser's
    for (const words of ["tank top", "tank bottom", "collector", "outdoor air", "from the sun", "from the meter", "loop pump", "backup heater"]) {
      await page.locator(".legend").getByText(words).waitFor();
    }
    assert.ok(await colours(page) > 4, "the curves are blank");

    await page.getByRole("link", { name: "7 days" }).click();
    await told(page, /^12\sFebruary/);
    const slider = page.getByLabel("Choose an instant");
    await slider.focus();
    for (let i = 0; i < 3; i++) await page.keyboard.press("ArrowLeft");
    await page.getByRole("heading", { name: /^At 19\sFebruary\s2026, \d\d:\d\d$/ }).waitFor();
    await page.locator(".decisions").getByText(/^since 1\d\sFeb, \d\d:\d\d, comfort: /).first().waitFor();
    assert.match(await slider.getAttribute("aria-valuetext"), /^19\sFebruary.*tank top \d+\.\d\s°C/);
    assert.match(await rest(page), /^#days\/7d\/2026-02-19T\d\d%3A\d\dZ$/);
    await page.keyboard.press("+");
    await page.waitForFunction(() => /^#days\/2026-/.test(location.hash));
    await page.goBack(); // from the zoomed span to the seven days
    await told(page, /^12\sFebruary/);
    await page.goBack();
    await told(page, /^18\sFebruary\s2026, 12:42 to/);

    // Dragged to the right, what was before comes in; a tap chooses.
    await page.evaluate(() => { location.hash = "#days/2026-02-15T00:00Z/2026-02-16T00:00Z"; });
    await told(page, /^15\sFebruary\s2026, 01:00 to 16/);
    const box = await page.locator(".u-over").first().boundingBox();
    await page.mouse.move(box.x + box.width * 0.3, box.y + 60);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.8, box.y + 62, { steps: 4 });
    await page.mouse.up();
    await told(page, /^14\sFebruary\s2026, 1\d:\d\d to 15/);
    await page.mouse.click(box.x + box.width * 0.85, box.y + 60);
    await page.getByRole("heading", { name: /^At 15\sFebruary\s2026, 0\d:\d\d$/ }).waitFor();
    await page.goto(`${server.url}#days/2026-02-15T00:00Z/2026-02-16T00:00Z/2026-02-15T09:30Z`);
    await page.getByText("Set by hand then: loop pump.").waitFor();
    await page.getByText(/by hand: set by hand for another/).waitFor();
    await page.getByText("The same as a table").click();
    await page.getByRole("row").nth(20).waitFor();
    assert.ok(await page.getByRole("columnheader", { name: "tank top (°C)" }).isVisible());
    await close(page, `days-${size}`);
  });

  test(`energy: by day, month and year, money and promise: ${size}`, async () => {
    const page = await open(size, "energy");
    await page.getByRole("heading", { name: "February 2026" }).waitFor();
    // The same out of the interface: 0.30 EUR a kWh, 190 kWh promised of February.
    const sums = await page.evaluate(async () => {
      const { series, periods: [month] } = await (await fetch("api/history/energy?from=2026-02-01&to=2026-03-01&by=month")).json();
      return Object.fromEntries(series.map((s, i) => [s.name, month.sums_j[i] / 3.6e6]));
    });
    const saved = ((sums.sun_heat - sums.pump_electricity) * 0.3).toFixed(2);
    await page.getByText(`The sun has saved ${saved} EUR, at 0.30 EUR a kWh.`).waitFor();
    const share = Math.round((sums.sun_heat / (sums.sun_heat + sums.meter_heat)) * 100);
    await page.getByText(new RegExp(`^${sums.sun_heat.toFixed(0)}\\skWh came from the sun .* the sun's share is ${share}\\s%\\.$`)).waitFor();
    await page.getByText(new RegExp(`^190\\skWh were promised .* ${Math.round(sums.sun_heat / 1.9)}\\s% of it have come so far\\.$`)).waitFor();
    assert.equal(await page.getByRole("row").count(), 1 + 19);
    await page.getByRole("row", { name: "19 Feb not over yet" }).waitFor();
    await page.screenshot({ path: `${out}/energy-month-${size}.png`, fullPage: true });
    await page.getByRole("link", { name: "by month" }).click();
    await page.getByRole("row", { name: /January watched for 3\d h of it \d+ 150 / }).waitFor();
    await page.getByRole("img", { name: /^2026\. \d+\skWh came from the sun/ }).waitFor();
    await page.screenshot({ path: `${out}/energy-year-${size}.png`, fullPage: true });
    await page.goBack();
    await page.getByRole("link", { name: "Earlier" }).click();
    await page.getByRole("heading", { name: "January 2026" }).waitFor();
    await page.getByRole("link", { name: "Earlier" }).click();
    await page.getByText("Nothing is kept of this time.").waitFor();
    await page.getByRole("link", { name: "by year" }).click();
    await page.getByRole("row", { name: /^2026 not over yet/ }).waitFor();
    await close(page, `energy-all-${size}`);
  });

  test(`findings that are gone: ${size}`, async () => {
    const page = await open(size, "findings");
    const gone = page.getByRole("region", { name: "Gone by now" }).getByRole("listitem");
    await gone.first().getByText(/^18\sFebruary\s2026, 12:00 to 15:30, 3\.5\sh$/).waitFor();
    await gone.first().getByText("The collector is at 141.0 °C with the pump at rest for 32 min.").waitFor();
    assert.equal(await gone.count(), 3);
    await page.getByRole("button", { name: "Look further back" }).click();
    await page.getByText("What was wrong in the last 400 days and is no longer").waitFor();
    await close(page, `findings-past-${size}`);
  });
}

test("who looks is told when there is no history, and waits when it is being read by others", async () => {
  const none = { kept: false, trouble: "This house keeps no history.", zone: "UTC", oldest: null, newest: null, series: [], price: null, promised: [] };
  const page = await open("phone", "days", (p) => p.route("**/api/history?", (route) => route.fulfill({ json: none })));
  const words = "There is no past to show. This house keeps no history.";
  for (const view of ["days", "energy", "findings"]) {
    await page.goto(`${server.url}#${view}`);
    await page.getByText(words).waitFor();
  }
  await close(page, "past-none-phone");

  const fresh = await open("phone", "days", (p) => p.route("**/api/history?", (route) => route.fulfill({ json: { ...none, kept: true, trouble: "" } })));
  await told(fresh, /^Nothing is kept yet\. /);
  await close(fresh);

  let asked = 0;
  const busy = await open("phone", "energy", (p) => p.route("**/api/history/energy?*", (route) => (++asked > 1 ? route.continue() : route.fulfill({
    status: 503, headers: { "Retry-After": "1" }, json: { type: "about:blank", title: "Service Unavailable", status: 503, detail: "Others ask." },
  }))));
  await busy.getByText("The sun has saved").waitFor();
  assert.equal(asked, 2);
  busy.faults = busy.faults.filter((words) => !words.includes("503"));
  await close(busy);
});

test("the answers are read to the last field", async () => {
  const { readPast, readChart, readSheet, readFindings, readMoment } = await load("past/read.ts");
  for (const [path, read] of [
    ["history", readPast], ["history/chart?from=2026-02-18&to=2026-02-19&points=9", readChart], ["history/energy?from=2026-02-18&to=2026-02-19&by=hour", readSheet],
    ["history/findings?from=2026-02-01&to=2026-02-19", readFindings], ["history/moment?at=2026-02-15T09:30:00Z", readMoment],
  ]) {
    const json = await (await fetch(`${server.url}api/${path}`)).text();
    assert.deepEqual(read(json, true), JSON.parse(json), path);
  }
});

test("whoever gets the page gets the licence of what draws its curves", async () => {
  const page = await (await fetch(`${server.url}page.js`)).text();
  for (const words of ["uPlot", "Permission is hereby granted", "Leon Sorokin"]) assert.ok(page.includes(words), words);
});
