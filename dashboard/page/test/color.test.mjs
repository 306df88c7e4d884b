import assert from "node:assert/strict";
import { test } from "node:test";
import { readFileSync } from "node:fs";
import { load } from "./modules.mjs";

const { hex, scaleAt, temperatureColour } = await load("color.ts");

// Values: CSS Color Module Level 4 (W3C), sRGB primaries in OKLCH, from memory.
test("OKLCH becomes the sRGB colour that the standard names", () => {
  assert.equal(hex([1, 0, 0]), "#ffffff");
  assert.equal(hex([0, 0, 0]), "#000000");
  assert.equal(hex([0.62796, 0.25768, 29.234]), "#ff0000");
  assert.equal(hex([0.86644, 0.29483, 142.495]), "#00ff00");
  assert.equal(hex([0.45201, 0.31321, 264.052]), "#0000ff");
});

test("a colour beyond the screen loses chroma, not its lightness", () => {
  const grey = hex([0.7, 0, 0]), vivid = hex([0.7, 0.4, 200]);
  assert.match(vivid, /^#[0-9a-f]{6}$/);
  assert.ok(Math.abs(luminance(grey) - luminance(vivid)) < 0.1);
});

test("the scale gets darker all the way, so that it reads in grey", () => {
  for (let c = -30; c < 150; c += 0.5) {
    assert.ok(scaleAt(c + 0.5)[0] <= scaleAt(c)[0], `${c} °C`);
    if (c >= 5 && c < 90) assert.ok(luminance(temperatureColour(c + 5)) < luminance(temperatureColour(c)), `${c} °C`);
  }
  assert.match(temperatureColour(NaN), /^#[0-9a-f]{6}$/);
});

// Least contrast of text: Web Content Accessibility Guidelines 2.2, 1.4.3.
test("every text colour stands out from its ground, by day and by night", () => {
  const css = readFileSync(new URL("../src/base.css", import.meta.url), "utf8");
  const day = {}, night = {};
  const [light, dark] = css.split("prefers-color-scheme: dark");
  for (const [, name, code] of light.matchAll(/--([a-z-]+): (#[0-9a-f]{6})/g)) day[name] = code;
  for (const [, name, code] of dark.matchAll(/--([a-z-]+): (#[0-9a-f]{6})/g)) night[name] = code;
  for (const set of [day, night]) {
    for (const [ink, grounds] of Object.entries({
      ink: ["ground", "warn-ground", "soon-ground"], soft: ["ground", "warn-ground", "soon-ground"],
      warn: ["ground", "warn-ground"], soon: ["ground", "soon-ground"],
    })) {
      for (const ground of grounds) {
        const [a, b] = [luminance(set[ink]), luminance(set[ground])].sort();
        const contrast = (b + 0.05) / (a + 0.05);
        assert.ok(contrast >= 4.5, `${ink} on ${ground}: ${contrast.toFixed(2)}`);
      }
    }
  }
});

// Relative luminance of sRGB as the Web Content Accessibility Guidelines 2.2 define it.
function luminance(code) {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const v = parseInt(code.slice(i, i + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
