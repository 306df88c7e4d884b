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
  readonly coil: string; // of the loop, in a tank of drinking water
  readonly tapCoil: string; // of the drinking water, in a tank of the loop's fluid
  readonly hot: string; // from the collector to the tank
  readonly cold: string; // from the tank to the collector
  readonly pump: Point | null;
  readonly heater: { readonly path: string; readonly word: Point };
  readonly taps: string;
  readonly tap: string;
  readonly tapsWord: Point;
  readonly inlet: string;
  readonly circulation: { readonly path: string; readonly pump: Point; readonly word: Point };
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
  tank: { x: 104, y: 112, width: 80, height: 126 },
  topChip: [144, 128],
  bottomChip: [144, 224],
  coil: "M184 170 H138 q-9 0 -9 5 t9 5 H152 q9 0 9 5 t-9 5 H138 q-9 0 -9 5 t9 5 H184",
  tapCoil: "M104 230 H122 q-8 0 -8 -5 t8 -5 H166 q8 0 8 -5 t-8 -5 H122 q-8 0 -8 -5 t8 -5 H166 q8 0 8 -5 t-8 -5 H122 q-8 0 -8 -5 t8 -5 H166 q8 0 8 -10 V130 q0 -8 -8 -8 H144 V112",
  hot: "M204 66 V170 H184",
  cold: "M184 200 H286 V112",
  pump: [246, 200],
  heater: { path: "M96 148 H132 q5 0 5 5 t-5 5 H96", word: [94, 152] },
  taps: "M144 112 V100 H44 V180",
  tap: "M38 180 H50 M44 180 V190 M41 198 q3 -6 3 -6 q3 6 3 6 a3 3 0 1 1 -6 0",
  tapsWord: [36, 220],
  inlet: "M24 234 H84 V230 H104",
  circulation: { path: "M44 134 H104", pump: [74, 134], word: [74, 121] },
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
  tank: { x: 88, y: 24, width: 84, height: 126 },
  topChip: [130, 40],
  bottomChip: [130, 136],
  coil: "M172 84 H126 q-9 0 -9 6 t9 6 H140 q9 0 9 6 t-9 6 H126 q-9 0 -9 6 t9 6 H172",
  tapCoil: "M88 142 H108 q-8 0 -8 -5 t8 -5 H152 q8 0 8 -5 t-8 -5 H108 q-8 0 -8 -5 t8 -5 H152 q8 0 8 -5 t-8 -5 H108 q-8 0 -8 -5 t8 -5 H152 q8 0 8 -10 V42 q0 -8 -8 -8 H130 V24",
  hot: "M204 133 H190 V84 H172",
  cold: "M172 120 H182 V208 H312 L318 202",
  pump: null,
  heater: { path: "M80 64 H114 q5 0 5 5 t-5 5 H80", word: [78, 70] },
  taps: "M130 24 V12 H22 V160",
  tap: "M16 160 H28 M22 160 V170 M19 178 q3 -6 3 -6 q3 6 3 6 a3 3 0 1 1 -6 0",
  tapsWord: [10, 200],
  inlet: "M70 214 V142 H88",
  circulation: { path: "M22 44 H88", pump: [55, 44], word: [55, 31] },
};

export const housePlan = (loop: string): HousePlan => (loop === "natural" ? natural : pumped);
