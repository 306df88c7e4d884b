// Goes through every view of the page, as the page itself lists them: nothing is
// hard to get at for anybody, nothing overflows, nothing complains.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { bringAxe, faultsOf } from "./axe.mjs";
import { browse, complaintsOf } from "./browser.mjs";
import { out, startServer } from "./server.mjs";

const sizes = { phone: { width: 360, height: 740 }, desktop: { width: 1280, height: 800 } };
let server, browser;

before(async () => {
  server = await startServer();
  browser = await browse();
});

after(async () => {
  await browser?.close();
  await server?.stop();
});

for (const [size, viewport] of Object.entries(sizes)) {
  for (const colorScheme of ["light", "dark"]) {
    test(`every view can be used by everybody: ${size}, ${colorScheme}`, async () => {
      const context = await browser.newContext({ viewport, colorScheme, reducedMotion: "reduce",
        locale: colorScheme === "dark" ? "es-ES" : "en-GB" }); // so that both languages fit
      await bringAxe(context);
      const page = await context.newPage();
      const complaints = complaintsOf(page);
      server.order("trouble");
      await page.goto(server.url);
      await page.getByText("An output can't be switched").first().waitFor();
      const views = await page.locator("nav a").evaluateAll((links) => links.map((a) => a.hash));
      assert.ok(views.length > 1);
      for (const view of views) {
        await page.goto(server.url + view);
        assert.deepEqual(await faultsOf(page), [], view);
        const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        assert.ok(over <= 0, `${view} is ${over} wider than the screen`);
        await page.screenshot({ path: `${out}/view-${view.slice(1)}-${size}-${colorScheme}.png`, fullPage: true });
      }
      await context.close();
      assert.deepEqual(complaints, []);
    });
  }
}
