// A colour scale for temperatures, computed in OKLCH so that equal steps look
// equal. It runs from pale ice over lilac and rose to ember, and gets darker
// all the way, so that it reads in grey as well. A colour never stands alone:
// the figure or a word is always beside it.

/** Lightness 0 to 1, chroma, hue in degrees. */
export type OkLch = readonly [lightness: number, chroma: number, hue: number];

const stops: ReadonlyArray<readonly [tempC: number, colour: OkLch]> = [
  [5, [0.93, 0.035, 230]],
  [25, [0.84, 0.065, 265]],
  [40, [0.74, 0.11, 320]],
  [55, [0.64, 0.165, 370]],
  [70, [0.54, 0.175, 392]],
  [95, [0.42, 0.14, 400]],
];

/** The scale's colour at a temperature in °C, held at its ends. */
export function scaleAt(tempC: number): OkLch {
  const first = stops[0]!;
  if (!(tempC > first[0])) return first[1];
  for (let i = 1; i < stops.length; i++) {
    const [lowC, low] = stops[i - 1]!;
    const [highC, high] = stops[i]!;
    if (tempC > highC) continue;
    const f = (tempC - lowC) / (highC - lowC);
    const mix = (k: 0 | 1 | 2) => low[k] + f * (high[k] - low[k]);
    return [mix(0), mix(1), mix(2) % 360];
  }
  return stops[stops.length - 1]![1];
}

/** Linear sRGB of an OKLCH colour, by the matrices of CSS Color Module Level 4. */
function linear([lightness, chroma, hue]: OkLch): [number, number, number] {
  const a = chroma * Math.cos((hue * Math.PI) / 180);
  const b = chroma * Math.sin((hue * Math.PI) / 180);
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
}

const inGamut = (rgb: number[]) => rgb.every((v) => v > -0.0005 && v < 1.0005);

/** The colour as #rrggbb; a colour no screen can show loses chroma until one can. */
export function hex(colour: OkLch): string {
  let [lightness, chroma, hue] = colour;
  let rgb = linear([lightness, chroma, hue]);
  while (!inGamut(rgb) && chroma > 0.001) {
    chroma *= 0.97;
    rgb = linear([lightness, chroma, hue]);
  }
  return "#" + rgb.map((v) => {
    const held = Math.min(1, Math.max(0, v));
    const coded = held <= 0.0031308 ? 12.92 * held : 1.055 * held ** (1 / 2.4) - 0.055;
    return Math.round(coded * 255).toString(16).padStart(2, "0");
  }).join("");
}

/** The scale's colour at a temperature in °C as #rrggbb. */
export const temperatureColour = (tempC: number): string => hex(scaleAt(tempC));
