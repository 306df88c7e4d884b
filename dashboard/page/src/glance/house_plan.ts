// Where things stand in the drawing, for each kind of loop. All in units of
// its own frame, 360 wide and 262 high.

type Point = readonly [x: number, y: number];

export interface HousePlan {
  readonly loop: string;
  readonly walls: string;
  readonly ground: string;
  readonly sun: Point;
  readonly collector: string;
  readonly collectorWord: Point;
  readonly outdoor: Point;
  readonly tank: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
  readonly topChip: Point;
  readonly bottomChip: Point;
  readonly coil: string;
  readonly hot: string; // from the collector to the tank
  readonly cold: string; // from the tank to the collector
  readonly pump: Point | null;
  readonly heater: { readonly path: string; readonly word: Point };
  readonly taps: string;
  readonly tap: string;
  readonly tapsWord: Point;
  readonly inlet: string;
}

/** A pitched roof with the tank in the house below: a pump has to turn the loop. */
const pumped: HousePlan = {
  loop: "pumped",
  walls: "M24 246 V112 M4 124 L132 26 L348 142 M326 246 V132",
  ground: "M2 246 H358",
  sun: [334, 24],
  collector: "M172 37 L298 104.5 L293 114 L167 46.5 Z",
  collectorWord: [236, 34],
  outdoor: [6, 30],
  tank: { x: 92, y: 98, width: 80, height: 138 },
  topChip: [132, 114],
  bottomChip: [132, 222],
  coil: "M172 158 H126 q-9 0 -9 6 t9 6 H140 q9 0 9 6 t-9 6 H126 q-9 0 -9 6 t9 6 H172",
  hot: "M194 61 V158 H172",
  cold: "M172 194 H286 V112",
  pump: [244, 194],
  heater: { path: "M84 138 H120 q5 0 5 5 t-5 5 H84", word: [82, 141] },
  taps: "M132 98 V86 H38 V172",
  tap: "M32 172 H44 M38 172 V182 M35 190 q3 -6 3 -6 q3 6 3 6 a3 3 0 1 1 -6 0",
  tapsWord: [30, 212],
  inlet: "M24 232 H70 V226 H92",
};

/** A flat roof with the tank above the collector: the loop turns by itself. */
const natural: HousePlan = {
  loop: "natural",
  walls: "M24 256 V214 M336 256 V214 M10 214 H350 M98 150 V214 M158 150 V214 M318 204 V214",
  ground: "M10 220 H350",
  sun: [330, 26],
  collector: "M206 128 L326 196 L321 205 L201 137 Z",
  collectorWord: [252, 112],
  outdoor: [206, 26],
  tank: { x: 84, y: 24, width: 88, height: 126 },
  topChip: [128, 40],
  bottomChip: [128, 136],
  coil: "M172 74 H126 q-9 0 -9 7 t9 7 H140 q9 0 9 7 t-9 7 H126 q-9 0 -9 7 t9 7 H172",
  hot: "M204 133 H190 V74 H172",
  cold: "M172 116 H182 V208 H312 L318 202",
  pump: null,
  heater: { path: "M76 62 H110 q5 0 5 5 t-5 5 H76", word: [74, 68] },
  taps: "M128 24 V12 H26 V160",
  tap: "M20 160 H32 M26 160 V170 M23 178 q3 -6 3 -6 q3 6 3 6 a3 3 0 1 1 -6 0",
  tapsWord: [12, 200],
  inlet: "M70 214 V130 H84",
};

export const housePlan = (loop: string): HousePlan => (loop === "natural" ? natural : pumped);
