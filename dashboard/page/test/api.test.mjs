// The page reads the same samples that the Go tests write.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { load } from "./modules.mjs";

const { readAnswer } = await load("api.ts");
const sample = (name) => readFileSync(new URL(`../../testdata/now_${name}.json`, import.meta.url), "utf8");

for (const name of ["sunny", "trouble"]) {
  test(`the ${name} sample is read to the last field`, () => {
    assert.deepEqual(readAnswer(sample(name), true), JSON.parse(sample(name)));
  });
}

test("a field that is missing, of another kind, or new is told by its place", () => {
  const changed = (change) => {
    const answer = JSON.parse(sample("sunny"));
    change(answer);
    return JSON.stringify(answer);
  };
  assert.throws(() => readAnswer(changed((a) => delete a.now.systems[0].loop)), /now\.systems\[0\]\.loop should be one of/);
  assert.throws(() => readAnswer(changed((a) => { a.now.tick = "3"; })), /now\.tick should be a figure/);
  const grown = changed((a) => { a.now.systems[0].colour = "red"; });
  assert.throws(() => readAnswer(grown, true), /now\.systems\[0\]\.colour is not known/);
  assert.ok(readAnswer(grown), "a newer program's page must still read");
});
