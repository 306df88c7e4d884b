// Works on a running demo as an installer does: readings and votes live, an output
// by hand that ends by itself, settings refused, changed and taken back, the site file.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { bringAxe, faultsOf } from "./axe.mjs";
import { browse, complaintsOf } from "./browser.mjs";
import { out, startDemo, startServer } from "./server.mjs";

let demo, browser;

before(async () => {
  demo = await startDemo();
  browser = await browse();
});

after(async () => {
  await browser?.close();
  await demo?.stop();
});

for (const [size, viewport] of Object.entries({ phone: { width: 390, height: 844 }, desktop: { width: 1280, height: 800 } })) {
  test(`readings, votes, and an output by hand that ends by itself: ${size}`, async () => {
    const page = await open(`${demo.url}#installer`, viewport);
    await page.getByText("You may install:").waitFor();
    await page.getByText("Quality: good · probe: simulated").first().waitFor();
    const before = await page.locator(".plants .ledger").textContent();
    await page.waitForFunction((old) => document.querySelector(".plants .ledger").textContent !== old, before);
    const pump = page.getByRole("region", { name: "loop pump" });
    await pump.locator("[data-won=true]").waitFor();

    assert.deepEqual(await pump.getByLabel("Set the loop pump to").locator("option").allTextContents(), ["on", "off"]);
    const minutes = pump.getByLabel("for so many minutes");
    for (const wrong of ["0", "1441", "1.5", ""]) {
      await minutes.fill(wrong);
      await pump.getByRole("button", { name: "by hand" }).click();
      await pump.getByText("Write a whole number of minutes, 1 to 1440.").waitFor();
    }
    await pump.getByLabel("Set the loop pump to").selectOption("on");
    await minutes.fill("2");
    await pump.getByRole("button", { name: "by hand" }).click();
    await pump.getByText(/is set by hand to on for 2 min; protections still come first/).waitFor();
    await pump.locator("[data-won=true]", { hasText: "by hand: on," }).waitFor();
    await pump.getByText(/^By hand on until \d\d:\d\d/).waitFor();
    assert.deepEqual(await faultsOf(page), []);
    await page.screenshot({ path: `${out}/by-hand-${size}.png`, fullPage: true });
    await pump.getByText("The time is over: it is no longer set by hand.").waitFor();
    assert.equal(await pump.getByRole("button", { name: "back" }).isVisible(), false);
    await close(page);
  });

  test(`a setting is refused, changed, and taken back: ${size}`, async () => {
    const page = await open(`${demo.url}#installer`, viewport);
    const limit = page.locator("details", { hasText: /^tank limit: / });
    await limit.locator("summary").click();
    await limit.getByText("40 °C to 85 °C").first().waitFor();
    const field = limit.getByLabel("New value"), was = await field.inputValue();
    await field.fill("99 °C");
    await limit.getByRole("button", { name: "Change" }).click();
    await limit.locator(".answer").filter({ hasText: "85 °C" }).waitFor();
    assert.equal(await field.getAttribute("aria-invalid"), "true");
    assert.ok(await field.evaluate((f) => f === document.activeElement && f.getAttribute("aria-describedby") === f.closest("details").querySelector(".answer").id));
    assert.deepEqual(await faultsOf(page), []);
    await page.screenshot({ path: `${out}/refused-${size}.png`, fullPage: true });
    page.complaints = page.complaints.filter((c) => !c.includes("422"));
    await field.fill("68 °C");
    await page.keyboard.press("Enter");
    await limit.locator("summary", { hasText: "tank limit: 68 °C changed" }).waitFor();
    assert.equal(await field.getAttribute("aria-invalid"), "false");
    await page.getByText(`tank limit from ${was} to 68 °C`).waitFor();
    const saved = page.waitForEvent("download");
    await page.getByRole("link", { name: "Save the site file" }).click();
    assert.equal((await saved).suggestedFilename(), "site.toml");
    await page.screenshot({ path: `${out}/changed-${size}.png`, fullPage: true });
    await page.getByRole("button", { name: "Take the newest change back" }).click();
    await limit.locator("summary", { hasText: `tank limit: ${was}` }).waitFor();
    await page.getByText("None: everything is as the site file says.").waitFor();
    assert.equal(await field.inputValue(), was);
    await close(page);
  });
}

test("the service state begins and ends", async () => {
  const page = await open(`${demo.url}#installer`, { width: 320, height: 640 });
  await page.getByRole("button", { name: "Begin the service state" }).click();
  await page.getByText("The service state is on: every output is held off, frost protection too.").waitFor();
  const end = page.getByRole("button", { name: "End the service state" });
  await end.waitFor();
  await page.waitForFunction(() => document.activeElement.textContent === "End the service state");
  await end.click();
  await page.getByText("The service state is off: the controller looks after the plant.").waitFor();
  await close(page);
});

test("without leave nothing is hidden, and what it takes is said", async () => {
  const server = await startServer();
  server.order("trouble");
  const page = await open(`${server.url}#installer`, { width: 390, height: 844 });
  await page.getByText("You may see what stands here, and change nothing.").waitFor();
  await page.getByText("This takes somebody who may install; you may see.").first().waitFor();
  const heater = page.getByRole("region", { name: "guest house" }).getByRole("region", { name: "backup heater" });
  assert.match(await heater.locator(".votes").innerText(), /^Won: comfort: on, .*\n(.*\n)*Lost: hygiene: on, /);
  const levels = page.getByRole("region", { name: "roof" }).getByRole("region", { name: "loop pump" }).locator("option");
  assert.deepEqual(await levels.allTextContents(), ["on", "off", "75 %", "50 %"], "a pump that runs at 30 % or more");
  await page.getByText("Fault: The checksum does not fit.").waitFor();
  await page.getByText("raw: 50 05 4b 46 7f ff 0c 10 1c").waitFor();
  const limit = page.locator("details", { hasText: /^tank limit: 70 °C/ });
  await limit.locator("summary").click();
  await limit.getByText("40 °C to 85 °C").waitFor();
  assert.equal(await limit.getByLabel("New value").isVisible(), false);
  for (const name of ["by hand", "service state", "Take the newest"]) {
    assert.equal(await page.getByRole("button", { name }).count(), 0, name);
  }
  await page.screenshot({ path: `${out}/no-leave-phone.png`, fullPage: true });
  await page.getByRole("button", { name: "Come in with name and password" }).click();
  await page.locator(".person .answer").filter({ hasText: 'The site file says who may: see its table "people".' }).waitFor();
  page.complaints = page.complaints.filter((c) => !/ 40[13] /.test(c));
  await close(page);
  await server.stop();
});

async function open(url, viewport) {
  const context = await browser.newContext({ viewport, deviceScaleFactor: 1 });
  await bringAxe(context);
  const page = await context.newPage();
  page.setDefaultTimeout(8000);
  page.complaints = complaintsOf(page);
  await page.goto(url);
  return page;
}

async function close(page) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  await page.context().close();
  assert.deepEqual(page.complaints, []);
  assert.ok(over <= 0, `the page is ${over} wider than the screen`);
}
