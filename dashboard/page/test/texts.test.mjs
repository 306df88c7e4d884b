import assert from "node:assert/strict";
import { test } from "node:test";
import { load } from "./modules.mjs";

const { texts } = await load("texts.ts");

test("counters are said in whole words", () => {
  for (const [runSeconds, switchings, want] of [
    [0, 0, "has never run yet"],
    [40, 1, "ran 40 s, switched once in all"],
    [1199.6, 2, "ran 19 min, switched 2 times in all"],
    [3599, 3, "ran 59 min, switched 3 times in all"],
    [3600, 4, "ran 1 h, switched 4 times in all"],
    [5_083_200, 12_345, "ran 1,412 h, switched 12,345 times in all"],
  ]) assert.equal(texts.outputs.counters(runSeconds, switchings), want);
});

test("a value that stands in says why", () => {
  const why = (change) => texts.readings.why({ why: null, fault: "", held_over: false, ...change });
  assert.equal(why({}), "");
  assert.equal(why({ held_over: true, fault: "no probe answers" }), "The newest sample failed: no probe answers.");
  assert.equal(why({ held_over: true }), "The newest sample can't be used.");
  assert.equal(why({ why: { text: "the probe gives no value" }, fault: "no probe answers" }), "The probe gives no value (no probe answers).");
});
