// Asks a running demo for hot water and for a holiday, as people do, and reads
// what the controller answers.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { bringAxe, faultsOf } from "./axe.mjs";
import { browse, complaintsOf } from "./browser.mjs";
import { out, startDemo } from "./server.mjs";

let demo, url, browser;

before(async () => {
  demo = await startDemo();
  url = demo.url;
  browser = await browse();
});

after(async () => {
  await browser?.close();
  await demo?.stop();
});

for (const [size, viewport] of Object.entries({ phone: { width: 390, height: 844 }, desktop: { width: 1280, height: 800 } })) {
  test(`hot water now is asked for, and the heater answers with its reason: ${size}`, async () => {
    const page = await open(viewport);
    await page.getByRole("button", { name: "Hot water now" }).click();
    const answer = page.locator(".water .answer");
    await answer.filter({ hasText: "Hot water now is asked of roof: its backup heater heats to 52 °C, for 2 h at most." }).waitFor();
    assert.match(await answer.textContent(), /Backup heater: hot water was asked for now: the tank top/);
    await page.getByText(/^Hot water now is asked for, until \d\d:\d\d at most\.$/).waitFor();
    await page.locator(".output", { hasText: "backup heater" }).getByText("heating", { exact: true }).waitFor();
    assert.equal(await page.getByRole("button", { name: "Hot water now" }).isVisible(), false);
    assert.ok(await page.getByRole("button", { name: "That is enough" }).evaluate((b) => b === document.activeElement), "the focus is lost");
    assert.deepEqual(await faultsOf(page), []);
    await page.screenshot({ path: `${out}/boost-${size}.png`, fullPage: true });
    await page.keyboard.press("Enter");
    await answer.filter({ hasText: "Hot water now is no longer asked of roof." }).waitFor();
    await page.getByRole("button", { name: "Hot water now" }).waitFor();
    await close(page);
  });

  test(`a holiday is asked for, outlives a reload, and ends: ${size}`, async () => {
    const page = await open(viewport);
    const days = page.getByLabel("Days away"), away = page.getByRole("button", { name: "We are away" });
    for (const wrong of ["0", "91", "1.5", ""]) {
      await days.fill(wrong);
      await away.click();
      await page.getByText("Write a whole number of days, 1 to 90.").waitFor();
    }
    await days.fill("14");
    await away.click();
    await page.getByText("A holiday of 14 d begins").waitFor();
    await page.reload();
    await page.getByText(/^Holiday until \d+\s\w+\. Till then the backup heater/).waitFor();
    assert.deepEqual(await faultsOf(page), []);
    await page.screenshot({ path: `${out}/holiday-${size}.png`, fullPage: true });
    await page.getByRole("button", { name: "We are back" }).click();
    await page.getByText("The holiday has ended.").waitFor();
    await away.waitFor();
    await close(page);
  });
}

test("who asks twice at once asks once, and a controller that is gone is told", async () => {
  const page = await open({ width: 320, height: 640 });
  let asked = 0, release;
  const held = new Promise((resolve) => { release = resolve; });
  await page.route("**/boost", async (route) => {
    asked++;
    await held;
    await route.abort();
  });
  const button = page.getByRole("button", { name: "Hot water now" });
  await button.click();
  await page.getByText("Asking the controller").waitFor();
  await button.evaluate((b) => b.click());
  release();
  await page.getByText("The controller did not answer.").waitFor();
  assert.equal(asked, 1);
  page.complaints = page.complaints.filter((c) => !c.includes("ERR_FAILED"));
  await close(page);
});

async function open(viewport) {
  const context = await browser.newContext({ viewport, deviceScaleFactor: 2 });
  await bringAxe(context);
  const page = await context.newPage();
  page.setDefaultTimeout(8000);
  page.complaints = complaintsOf(page);
  await page.goto(url);
  await page.getByRole("button", { name: "Hot water now" }).waitFor();
  return page;
}

async function close(page) {
  const wider = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  await page.context().close();
  assert.deepEqual(page.complaints, []);
  assert.ok(wider <= 0, `the page is ${wider} wider than the screen`);
}
