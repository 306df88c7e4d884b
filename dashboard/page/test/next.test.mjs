import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { load } from "./modules.mjs";

const { next } = await load("glance/next.ts");
const { waterLeft } = await load("water.ts");
const { texts } = await load("texts.ts");
const sunny = () => JSON.parse(readFileSync(new URL("../../testdata/now_sunny.json", import.meta.url), "utf8")).now;

// What is said next of the sunny sample after a change; heater is its backup heater.
function said(change) {
  const now = sunny();
  const [system] = now.systems;
  system.outlook = null;
  change(system, now, system.outputs[1]);
  return next(system, now).join(" ").replaceAll("\u00a0", " ");
}
const because = (heater, key, ...values) => { heater.reason = { key, text: "", values }; };
const outlook = (start_seconds) => ({ ...sunny().systems[0].outlook, start_seconds });

for (const [name, change, want] of [
  ["a window opens", () => {}, "The backup heater may help again from 17:00 on."],
  ["a window is open", (s, n, h) => { s.heater_opens_at = null; because(h, "heater_warm", 47.8, 45, 0); },
    "The backup heater helps when the top of the tank has cooled to 45.0 °C."],
  ["the clock is not set", (s, n, h) => { s.heater_opens_at = null; because(h, "heater_clock", 47.8, 0, 0); }, ""],
  ["it heats", (s, n, h) => { h.level_ratio = 1; }, ""],
  ["a protection holds it", (s, n, h) => { h.rank = "protection"; }, ""],
  ["no heater, night", (s, n) => { s.outputs.pop(); n.wall.sun_up = "no"; n.wall.sun_rises_at = "06:58"; }, "It is night; the sun rises at 06:58."],
  ["no heater, polar night", (s, n) => { s.outputs.pop(); n.wall.sun_up = "no"; }, "The sun does not rise these days."],
  ["waits for the sun", (s, n, h) => { s.outlook = outlook(7200); because(h, "sun_first_waits", 4.5, 6, 0); },
    "The backup heater waits for the sun until 14:42 at the latest: the sun should bring 4.5 kWh in 12 h, and 6.0 kWh in 18 h will likely be drawn."],
  ["hot water lasts", (s, n, h) => { s.outlook = outlook(7200); because(h, "sun_first_later", 6, 0, 0); },
    "The hot water lasts for a while: if nothing changes, the backup heater starts at 14:42."],
  ["enough", (s) => { s.outlook = outlook(null); },
    "The backup heater need not start: 6.0 kWh in 18 h will likely be drawn, and the sun should bring 4.5 kWh in 12 h."],
  ["still learning", (s) => { s.outlook = { ...outlook(7200), decides: false }; }, "The backup heater may help again from 17:00 on."],
  ["holiday", (s, n) => { n.holiday_seconds_left = 13 * 86400; }, "Till the holiday ends, 4 March, the tank is only kept from getting cold."],
  ["hot water now", (s) => { s.boost_seconds_left = 3600; }, "Hot water now is asked for, until 13:42 at most."],
  ["by hand", (s, n, h) => { h.override_seconds_left = 1740; },
    "Until 13:11 the backup heater stays as it was set by hand, unless a protection needs it otherwise."],
  ["service", (s, n) => { n.servicing = true; }, "Somebody works on the plant: nothing is heated or pumped until the service state ends."],
  ["hygiene heat-up", (s, n, h) => { s.hygiene_due_seconds = 0; because(h, "hygiene", 52, 60, 1800); },
    "The hygiene heat-up goes on until the top of the tank has been at 60.0 °C for another 30 min."],
  ["hygiene is due", (s) => { s.hygiene_due_seconds = 0; }, "The backup heater may help again from 17:00 on. A hygiene heat-up is due."],
  ["hygiene tonight", (s) => { s.hygiene_due_seconds = 36000; }, "The backup heater may help again from 17:00 on. The next hygiene heat-up is due in 10.0 h."],
  ["a forecast in trouble", (s, n) => { s.outlook = outlook(null); n.forecast_trouble = "line 2: no light"; },
    "The backup heater need not start: 6.0 kWh in 18 h will likely be drawn, and the sun should bring 4.5 kWh in 12 h. The forecast of the light can't be used: line 2: no light."],
  ["a forecast that nothing goes by", (s, n) => { n.forecast_trouble = "line 2: no light"; }, "The backup heater may help again from 17:00 on."],
]) test(`what happens next: ${name}`, () => assert.equal(said(change), want));

test("what is left is rounded down, never up", () => {
  for (const [hot_litres, want] of [
    [0.9, "No water at 40 °C is left."], [1, "1 litre at 40 °C is left, enough for no shower."],
    [89.9, "89 litres at 40 °C are left, enough for one shower."], [90, "90 litres at 40 °C are left, enough for two showers."],
    [1234, "1,234 litres at 40 °C are left, enough for 27 showers."],
  ]) {
    const { litres, showers } = waterLeft({ hot_litres });
    assert.equal(texts.water.left(litres, 40, showers).replaceAll("\u00a0", " "), want);
  }
  assert.equal(waterLeft({ hot_litres: null }), null);
});
