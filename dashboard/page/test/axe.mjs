// Looks for what keeps people from using a page, with axe.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const source = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const serious = new Set(["serious", "critical"]);

/** Brings axe into all pages of a context; the page's own policy would not let it in later. */
export const bringAxe = (context) => context.addInitScript(source);

/** The serious faults of a page, in words. */
export async function faultsOf(page) {
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  return violations.filter((v) => serious.has(v.impact))
    .map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.html).join(" ")}`);
}
