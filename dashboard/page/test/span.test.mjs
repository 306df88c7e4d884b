// Spans and periods in the address of the page, and what is added up.
import assert from "node:assert/strict";
import { test } from "node:test";
import { load } from "./modules.mjs";

const { readShown, writeShown, zoomed, moved } = await load("days/range.ts");
const { readPeriod, writePeriod, neighbour, daysOf, partsOf, secondsOf } = await load("energy/period.ts");
const { savedMoney, solarShare, promisedJ } = await load("energy/sums.ts");
const { timeLabels, instantOf, endOf, money } = await load("texts.ts");

test("what is shown of the days is read back from the address as it was written", () => {
  for (const rest of ["24h", "7d", "365d/2026-02-18T12:30Z", "2026-02-18T00:00Z/2026-02-19T00:00Z", "2026-02-18T00:00Z/2026-02-19T00:00Z/2026-02-18T12:30Z"]) {
    assert.equal(writeShown(readShown(rest)), rest);
  }
  for (const rest of ["", "99d", "yesterday", "2026-02-19T00:00Z/2026-02-18T00:00Z", "2026-02-18T00:00Z", "2026-02-18T00:00Z/2026-02-18T00:01Z", "1900-02-18T00:00Z/2026-02-18T00:01Z", "2026-99-99T00:00Z/2026-02-18T00:00Z"]) {
    assert.equal(writeShown(readShown(rest)), "24h", rest);
  }
});

test("zooming leaves the instant where it is, and has its bounds", () => {
  const span = { from: 0, to: 86400 };
  assert.deepEqual(zoomed(span, 0.5, 21600), { from: 10800, to: 54000 });
  assert.deepEqual(moved(span, -0.5), { from: -43200, to: 43200 });
  const least = zoomed(span, 1e-9, 21600);
  assert.equal(least.to - least.from, 600);
});

test("periods of energy are read, written and counted", () => {
  const today = "2026-02-19";
  for (const rest of ["2026-02", "2025", "all"]) assert.equal(writePeriod(readPeriod(rest, today)), rest);
  for (const rest of ["", "2026-13", "2026-00", "x"]) assert.equal(writePeriod(readPeriod(rest, today)), "2026-02", rest);
  assert.equal(writePeriod(neighbour(readPeriod("2026-01", today), -1)), "2025-12");
  assert.equal(writePeriod(neighbour(readPeriod("2025-12", today), 1)), "2026-01");
  assert.deepEqual(daysOf(readPeriod("2025-12", today), today), { from: "2025-12-01", to: "2026-01-01" });
  assert.equal(partsOf(readPeriod("2024-02", today)).length, 29);
  assert.equal(secondsOf("2024-02-01", "month"), 29 * 86400);
  assert.equal(secondsOf("2024-01-01", "year"), 366 * 86400);
});

test("share, money and promise", () => {
  const sum = { begin: "", sunJ: 36e6, meterJ: 12e6, pumpJ: 3.6e6, watchedSeconds: 0 };
  assert.equal(solarShare(sum), 0.75);
  assert.equal(solarShare({ ...sum, sunJ: 0, meterJ: 0 }), null);
  assert.equal(savedMoney(sum, 0.5), 4.5); // 10 kWh less 1 kWh of the pump
  const past = {
    series: [{ system: "roof", name: "sun_heat" }, { system: "guest", name: "sun_heat" }],
    promised: [{ system: "roof", by_month_j: Array(12).fill(2) }],
  };
  assert.equal(promisedJ(past, "roof", 0), 2);
  assert.equal(promisedJ(past, "roof", null), 24);
  assert.equal(promisedJ(past, "guest", 0), null);
  assert.equal(promisedJ(past, "", 0), null, "half of the house was planned");
  assert.match(money(12.345, "EUR", 0.3), /^12\.3[45]\sEUR$/);
  assert.match(money(-1234.5, "COP", 890), /^\u22121235\sCOP$/);
});

test("times are told by the house's clock", () => {
  const at = Date.parse("2026-03-29T00:30:00Z") / 1000; // an hour before summer time begins
  assert.match(instantOf(at, "Europe/Rome"), /^29\sMarch\s2026, 01:30$/);
  assert.match(instantOf(at + 3600, "Europe/Rome"), /, 03:30$/);
  assert.match(instantOf(at, "No/Such"), /, 00:30$/);
  assert.equal(endOf(at, at + 3600, "Europe/Rome"), "03:30");
  assert.match(endOf(at, at + 86400, "Europe/Rome"), /^30\sMarch/);
  assert.deepEqual(timeLabels([at, at + 1800], 1800, "UTC"), ["00:30\n29 Mar", "01:00"]);
  assert.deepEqual(timeLabels([at], 86400, "UTC"), ["29 Mar"]);
  assert.deepEqual(timeLabels([at], 30 * 86400, "UTC"), ["Mar 2026"]);
  assert.deepEqual(timeLabels([at], 365 * 86400, "UTC"), ["2026"]);
});
