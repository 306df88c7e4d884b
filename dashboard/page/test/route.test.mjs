import assert from "node:assert/strict";
import { test } from "node:test";
import { load } from "./modules.mjs";

const { addressOf, whereTo } = await load("route.ts");

test("an address names a view and what is left for it", () => {
  for (const [hash, name, rest] of [
    ["", "", ""], ["#", "", ""], ["#findings", "findings", ""], ["#/findings", "findings", ""],
    ["#days/2026-02/2026-03", "days", "2026-02/2026-03"], ["#days/house%20on%20the%20hill", "days", "house on the hill"],
    ["#days/%zz", "days", ""],
  ]) assert.deepEqual(whereTo(hash), { name, rest }, hash);
});

test("an address is read back as it was meant", () => {
  for (const place of [{ name: "days", rest: "" }, { name: "days", rest: "2026-02/a b#?%/é" }]) {
    assert.deepEqual(whereTo(addressOf(place)), place);
  }
});
