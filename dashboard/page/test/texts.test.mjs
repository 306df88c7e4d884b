import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { load } from "./modules.mjs";
import { repo } from "./server.mjs";

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

test("figures, spans and times are written as each language does", async () => {
  const es = await load("texts.ts", "es");
  const en = await load("texts.ts");
  const wall = { local: "2026-02-19T12:42:07+01:00", trusted: true };
  for (const [what, english, spanish] of [
    [(t) => t.degrees(-3.4), "\u22123.4 °C", "\u22123,4 °C"],
    [(t) => t.span(12600), "3.5 h", "3,5 h"],
    [(t) => t.span(16 * 86400), "16 days", "16 días"],
    [(t) => t.ending(wall, 3600), "13:42", "las 13:42"],
    [(t) => t.ending(wall, 13 * 3600), "01:42", "la 01:42"],
    [(t) => t.ending(wall, 13 * 86400), "4 March", "el 4 de marzo"],
    [(t) => t.ending({ ...wall, trusted: false }, 7200), "2.0 h from now", "dentro de 2,0 h"],
    [(t) => t.texts.outputs.counters(5_083_200, 12_345), "ran 1,412 h, switched 12,345 times in all",
      "en total ha funcionado 1412 h y ha conmutado 12.345 veces"],
    [(t) => t.texts.water.left(1, 40, 0), "1 litre at 40 °C is left, enough for no shower.", "Queda 1 litro a 40 °C, que no bastan para una ducha."],
  ]) {
    assert.equal(what(en).replaceAll("\u00a0", " "), english);
    assert.equal(what(es).replaceAll("\u00a0", " "), spanish);
  }
});

// What the program says, out of its own table: names with their sentences.
const said = new Map([...readFileSync(`${repo}/control/words.go`, "utf8").matchAll(/^\t\w+: +\{"(\w+)", "(.*)"\},$/gm)].map(([, key, text]) => [key, text]));

test("reasons are translated with the figures of the program's own sentences", async () => {
  const { spanishReasons } = await load("texts/spanish_reasons.ts");
  const figures = (text) => (text.match(/\{[^}]*\}/g) ?? []).sort().join();
  for (const [key, text] of Object.entries(spanishReasons)) {
    assert.ok(said.has(key), `the program gives no reason ${key} any more`);
    assert.equal(figures(text), figures(said.get(key)), key);
  }
  const { translated } = await load("reason.ts", "es");
  const words = (key, ...values) => translated({ key, text: "", values })?.replaceAll("\u00a0", " ");
  assert.equal(words("loop_ends", 45, -2.5, 3), "el colector, a 45,0 °C, solo está \u22122,5 K más caliente que el depósito; la bomba para a 3,0 K");
  assert.equal(words("sun_first_waits", 4.5, 6, 17 * 60), "espera: el sol debería traer 4,5 kWh en 12 h, y es probable que se gasten 6,0 kWh en 18 h; la resistencia deja de esperar a las 17:00");
  assert.equal(words("supply_too_small", 1500, 2000, 0), "la acometida de 1500 W es menor que los 2000 W que toma esta resistencia");
  assert.equal(words("exercise", 3 * 86400, 0, 0), "se mueve un momento tras 3 días en reposo, para que no se agarrote");
  assert.equal(words("sun_first_learns", 3, 14, 0), "valen los horarios de la resistencia mientras se aprenden las costumbres de la casa: 3 de 14 días");
  assert.equal(words("beyond_range", 7.25, 0, 4), "7,3 no puede ser: este lugar está entre 0,0 y 4,0");
  for (const key of ["newer_than_this_page", "toString"]) assert.equal(words(key, 0, 0, 0), undefined);
  const english = await load("reason.ts");
  assert.equal(english.translated({ key: "loop_ends", text: "", values: [45, 2, 3] }), undefined);
});

// The compiler sees that no text is missing; this, that none was left in English.
test("every text is translated", async () => {
  const { texts: es } = await load("texts.ts", "es");
  const left = [];
  const compare = (a, b, at) => {
    if (typeof a === "string" && a === b && /[a-z]{2}/.test(a)) left.push(`${at}: ${a}`);
    if (typeof a === "function" && String(a) === String(b) && /[a-z]{3} [a-z]{3}/.test(String(a).replace(/^[^=]*=>/, ""))) left.push(`${at}: ${a}`);
    if (typeof a === "object") for (const key of Object.keys(a)) compare(a[key], b[key], `${at}.${key}`);
  };
  compare(texts, es, "texts");
  assert.deepEqual(left, []);
});
