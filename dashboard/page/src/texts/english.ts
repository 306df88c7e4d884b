// The page in English. The page's other languages have the same texts, no more
// and no fewer: the compiler sees to it (see Texts in ../texts.ts).

import type { Knowledge, Output, Reading } from "../api.ts";
import { capital, chosenDegrees, count, degrees, measured, ranFor, sentence, span } from "./format.ts";

const heldOverWhy = (fault: string): string =>
  sentence(fault === "" ? "The newest sample can't be used" : `The newest sample failed: ${fault}`);

const small = ["no shower", "one shower", "two showers", "three showers", "four showers", "five showers", "six showers"];
const showersOf = (n: number): string => small[n] ?? `${count(n)} showers`;

export const english = {
  titleWithoutData: "Hot water",
  title: (water: string, site: string) => `${water} · ${site}`,

  line: {
    connecting: "connecting",
    waiting: "waiting",
    live: "live",
    old: "standing still",
    lost: "not connected",
  },
  announce: {
    waiting: "The controller has just been started.",
    live: "Connected; readings are live.",
    old: "The controller does not report; readings are old.",
    lost: "The connection is lost; readings are old.",
  },
  clock: (hhmm: string) => `house time ${hhmm}`,
  clockUnset: "clock not set",
  banner: {
    connecting: "",
    waiting: "The controller has just been started. First readings come in a moment.",
    live: "",
    old: (age: string) =>
      `The controller has not reported for ${age}. What you see below is old. ` +
      "If this stays, look at the board; do not rely on the pump or the heater being off.",
    lost: (age: string) =>
      `The connection to the controller is lost. What you see below was sent ${age} ago. ` +
      "This page tries again by itself; the controller works on without it.",
    lostEmpty: "The controller can't be reached. This page tries again by itself.",
    misfit: "This page and the program do not fit together. Load the page anew.",
  },

  water: {
    caption: "water at the top of the tank",
    captionOld: "water at the top of the tank, as last known",
    words: { cold: "cold", lukewarm: "lukewarm", warm: "warm", hot: "hot", veryHot: "very hot" },
    unknown: "not known",
    unknownCaption: "The top of the tank can't be read now.",
    left: (litres: number, tapC: number, showers: number) =>
      litres === 0
        ? `No water at ${chosenDegrees(tapC)} is left.`
        : `${count(litres)} ${litres === 1 ? "litre" : "litres"} at ${chosenDegrees(tapC)} ${litres === 1 ? "is" : "are"} left, enough for ${showersOf(showers)}.`,
    bottomInstead: (tempC: number) => `The bottom of the tank is at ${degrees(tempC)}.`,
  },
  // Moritz and Henriques (1947), Studies of thermal injury II, as tabulated
  // second-hand: adult skin is burnt at 60 °C in about 5 s, at 55 °C in 30 s.
  scalding:
    "Scalding danger: water this hot burns skin, at 60 °C within seconds, and children faster. " +
    "A tempering valve must mix it before it reaches the taps. Feel the water before anybody bathes.",

  heating: (sun: Knowledge, meter: Knowledge): string => {
    if (sun === "yes") {
      if (meter === "yes") return "The sun and the backup heater are heating the water together.";
      return meter === "no"
        ? "The sun is heating the water."
        : "The sun is heating the water; whether the backup heater does can't be told.";
    }
    if (meter === "yes") {
      return sun === "no"
        ? "The backup heater is heating the water, with electricity from the meter."
        : "The backup heater is heating the water; whether the sun helps can't be told.";
    }
    if (sun === "no" && meter === "no") return "Nothing is heating the water just now.";
    return meter === "no"
      ? "Whether the sun is heating the water can't be told just now."
      : "Whether anything is heating the water can't be told just now.";
  },
  next: {
    servicing: "Somebody works on the plant: nothing is heated or pumped until the service state ends.",
    byHand: (output: string, end: string) => `Until ${end} the ${output} stays as it was set by hand, unless a protection needs it otherwise.`,
    boost: (end: string) => `Hot water now is asked for, until ${end} at most.`,
    hygiene: (tempC: number, left: number) =>
      `The hygiene heat-up goes on until the top of the tank has been at ${degrees(tempC)} for another ${span(left)}.`,
    holiday: (end: string) => `Till the holiday ends, ${end}, the tank is only kept from getting cold.`,
    within: (energy: string, hours: string) => `${energy} in ${hours}`,
    waits: (end: string, sun: string, wanted: string) =>
      `The backup heater waits for the sun until ${end} at the latest: the sun should bring ${sun}, and ${wanted} will likely be drawn.`,
    later: (at: string) => `The hot water lasts for a while: if nothing changes, the backup heater starts at ${at}.`,
    enough: (sun: string, wanted: string) =>
      `The backup heater need not start: ${wanted} will likely be drawn, and the sun should bring ${sun}.`,
    opens: (clock: string) => `The backup heater may help again from ${clock} on.`,
    helps: (tempC: number) => `The backup heater helps when the top of the tank has cooled to ${degrees(tempC)}.`,
    night: (sunrise: string) => `It is night; the sun rises at ${sunrise}.`,
    polarNight: "The sun does not rise these days.",
    hygieneDue: "A hygiene heat-up is due.",
    hygieneIn: (left: number) => `The next hygiene heat-up is due in ${span(left)}.`,
    forecast: (trouble: string) => `The forecast of the light can't be used: ${trouble}.`,
  },
  lastKnown: (words: string) => `Last known: ${words}`,
  because: (output: string) => `${capital(output)}:`,
  natural: "This loop turns by natural circulation; there is no pump.",

  places: {
    collector: "collector", tank_top: "tank top", tank_bottom: "tank bottom", outdoor_air: "outdoor air",
    coil_return: "coil return", circulation_return: "circulation return", tap: "tap", loop_flow: "loop flow",
    draw_flow: "draw flow", loop_pressure: "loop pressure", pump_current: "pump current",
    heater_current: "heater current", circulation_button: "circulation button",
  },
  actuators: {
    loop_pump: "loop pump", backup_heater: "backup heater", hot_water_circulation: "hot-water circulation", heat_dump: "heat dump",
  },

  frame: {
    views: "Views of the house",
    language: "Language",
    untranslated: "",
  },

  glance: {
    words: "At a glance",
  },

  wall: {
    words: "On the wall",
    unknown: "?",
    wasSo: "as last known",
    heats: (sun: Knowledge, meter: Knowledge): string => {
      if (sun === "yes") return meter === "yes" ? "sun and backup heater heat" : "the sun heats";
      if (meter === "yes") return "the backup heater heats";
      return sun === "no" && meter === "no" ? "nothing heats" : "what heats is not known";
    },
    left: (litres: number, showers: number) => `${count(litres)} ${litres === 1 ? "litre" : "litres"}, ${showersOf(showers)}`,
    trouble: (first: string, others: number) => others === 0 ? first : `${first}, and ${others} more`,
    old: {
      old: (age: string) => `Old: the controller has not reported for ${age}.`,
      lost: (age: string) => `Old: not connected, this is from ${age} ago.`,
    },
    back: "Back",
    fill: "Fill the screen",
  },

  findings: {
    words: "Findings",
    heading: "What is wrong",
    none: "No findings: nothing is known to be wrong.",
    watched: "Some readings are missing or doubted; they are being watched.",
    urgency: { at_once: "act at once", soon: "soon", information: "good to know" },
    unheard: "Whether anything is wrong now can't be told before the controller reports again.",
    more: "What it is and what to do",
    all: (n: number, others: number) =>
      others > 0 ? `All ${n} findings, and what to do` : n === 1 ? "What it is and what to do" : "What they are and what to do",
    likely: "Likely",
    check: "Check",
    detail: "In the driver's words",
    known: (seconds: number) => `Known for ${span(seconds)}`,
    past: "Gone by now",
    pastDays: (days: number) => `What was wrong in the last ${days} days and is no longer, the newest first.`,
    nothingPast: (days: number) => `Nothing was wrong in the last ${days} days that is not told above.`,
    earlier: "Look further back",
    from: (since: string, until: string, length: string) => `${since} to ${until}, ${length}`,
    unsure: "The clock was not set all the time.",
  },

  readings: {
    heading: "Readings",
    houseHeading: "Around the house",
    none: "no value",
    fresh: "fresh",
    age: (seconds: number) => `${span(seconds)} old`,
    doubted: (value: number, unit: string) => `${measured(value, unit)}?`,
    quality: { good: "", suspect: "doubted", missing: "too old" },
    heldOver: (seconds: number) => `last good value, ${span(seconds)} old`,
    why: (r: Reading): string => {
      if (r.why === null) return r.held_over ? heldOverWhy(r.fault) : "";
      return r.fault === "" ? sentence(r.why.text) : sentence(`${r.why.text} (${r.fault})`);
    },
  },

  outputs: {
    heading: "What runs, and why",
    state: (o: Output): string => {
      const [on, off] = o.actuator === "backup_heater" ? ["heating", "off"]
        : o.actuator === "heat_dump" ? ["taking heat", "at rest"] : ["running", "at rest"];
      const doubt = o.fault === "" ? "" : "?";
      if (o.level_ratio <= 0) return off + doubt;
      return (o.level_ratio >= 1 ? on : `${on} at ${Math.round(o.level_ratio * 100)} %`) + doubt;
    },
    fault: (words: string) =>
      `It can't be switched: ${words}. Do not rely on what is shown here; use its isolator.`,
    held: (seconds: number) => `A minimum time holds it for another ${span(seconds)}.`,
    override: (ratio: number, seconds: number) =>
      `Set by hand to ${ratio <= 0 ? "off" : ratio >= 1 ? "on" : `${Math.round(ratio * 100)} %`} for another ${span(seconds)}; protections still come first.`,
    counters: (runSeconds: number, switchings: number) =>
      runSeconds <= 0 && switchings === 0
        ? "has never run yet"
        : `ran ${ranFor(runSeconds)}, switched ${switchings === 1 ? "once" : `${count(switchings)} times`} in all`,
    votes: "How this was decided",
    votesHint: "The strongest vote wins; among equals the lower level does.",
    vote: (rank: string, level: number) => `${rank}: ${level <= 0 ? "off" : level >= 1 ? "on" : `${Math.round(level * 100)} %`},`,
    rank: {
      upkeep: "upkeep", economy: "economy", comfort: "comfort",
      hygiene: "hygiene", person: "by hand", protection: "protection",
    },
  },

  drawing: {
    collector: "collector", outdoor: "outdoors", taps: "taps", heater: "heater",
    pump: "pump", circulation: "circulation",
    layers: {
      two: "Between the two tank probes the colours are estimated.",
      one: "Only one tank probe can be read; the colours are its own.",
      none: "No tank probe can be read, so the tank is left blank.",
    },
    summary: (name: string, parts: string[]) => `Drawing of ${name}: ${parts.join(", ")}.`,
    unknown: "?",
  },

  ask: {
    boost: "Hot water now",
    boostHint: "The backup heater heats at once, for 2 h at most.",
    endBoost: "That is enough",
    holidayHeading: "Away from home",
    days: "Days away",
    holiday: "We are away",
    holidayHint: "Without anybody who draws water the backup heater keeps the tank from getting cold, and no more.",
    onHoliday: (end: string) => `Holiday until ${end}. Till then the backup heater keeps the tank from getting cold, and no more. Let the taps run hot before anybody showers.`,
    endHoliday: "We are back",
    daysWrong: "Write a whole number of days, 1 to 90.",
    asking: "Asking the controller …",
    unheard: "The controller did not answer. Look below at what it does before you ask again.",
    refused: (status: number) => `The controller refused this without a word (${status}). Load the page anew.`,
  },

  past: {
    system: "System",
    series: { hot_water: "hot water", sun_heat: "from the sun", meter_heat: "from the meter" },
    unheard: "The controller did not answer. This page tries again when the view is opened anew.",
    none: (words: string) => `There is no past to show. ${sentence(words)}`,
    trouble: (words: string) => `The history stands still or can't be read: ${sentence(words)} Pump and heater are looked after all the same.`,
  },

  days: {
    words: "Days",
    ranges: "Spans of time up to now",
    newest: { "6h": "6 hours", "24h": "24 hours", "7d": "7 days", "30d": "30 days", "365d": "a year" },
    earlier: "Earlier",
    later: "Later",
    closer: "Closer",
    wider: "Wider",
    told: (from: string, to: string, empty: boolean) =>
      `${from} to ${to}.` + (empty ? " Nothing is kept of this time: the program did not run, or it is too long ago." : ""),
    nothingYet: "Nothing is kept yet. The first minutes can be seen soon after the start.",
    groups: { temperatures: "Temperatures, °C", heat: "Heat, kW", outputs: "What ran, share of the time, %" },
    units: { temperatures: "°C", heat: "kW", outputs: "%" },
    instant: "Choose an instant",
    hint: "Or tap the curves. Dragging moves them; two fingers, or ctrl and the wheel, zoom, as + and - do on the slider.",
    nothingChosen: "nothing chosen yet",
    momentHeading: (at: string) => `At ${at}`,
    decided: "What was decided, and why",
    decision: (since: string, rank: string) => `since ${since}, ${rank}: `,
    level: (part: string, level: number) => {
      if (level <= 0) return "off";
      return level >= 1 ? (part === "backup_heater" ? "heating" : "running") : `at ${Math.round(level * 100)} %`;
    },
    overridden: (parts: string) => `Set by hand then: ${parts}.`,
    found: "What was wrong then",
    measured: (seconds: number) => `What was measured, mean of ${span(seconds)} (lowest … highest)`,
    notWatched: (before: string, after: string) =>
      "Nothing is kept of this instant: the program did not run." + (before === "" ? "" : ` It ran until ${before}.`) + (after === "" ? "" : ` It ran again from ${after}.`),
    unsure: "The clock was not set then; the time may be wrong.",
    table: "The same as a table",
    from: "From",
    unknown: "–",
  },

  energy: {
    words: "Energy",
    periods: "What is added up over",
    byDay: "by day",
    byMonth: "by month",
    byYear: "by year",
    before: "Earlier",
    after: "Later",
    allYears: "All years",
    allSystems: "all of the house",
    axis: "kWh",
    none: "Nothing is kept of this time.",
    summary: (sun: string, meter: string, share: string) =>
      `${sun} came from the sun and ${meter} from the meter` + (share === "" ? "." : `: the sun's share is ${share}.`),
    meterOnly: (meter: string) => `${meter} came from the meter.`,
    saved: (amount: string, price: string) => `The sun has saved ${amount}, at ${price} a kWh.`,
    against: (promised: string, share: string, underWay: boolean, by: "day" | "month" | "year") =>
      `${promised} were promised of the sun for ${by === "day" ? "a usual month of this name" : "a usual year"}` +
      (underWay ? `, which is not over: ${share} of it have come so far.` : share === "" ? "." : `: ${share} of it came.`),
    fromSun: "from the sun",
    fromMeter: "from the meter",
    promised: "promised of the sun",
    table: "Heat by period",
    column: { day: "Day", month: "Month", year: "Year" },
    units: (currency: string) => (currency === "" ? "Heat in kWh" : `Heat in kWh, money in ${currency}`),
    sunColumn: "Sun",
    meterColumn: "Meter",
    shareColumn: "Sun's share",
    savedColumn: "Saved",
    promisedColumn: "Promised",
    watched: (length: string) => ` watched for ${length} of it`,
    underWay: " not over yet",
    shareNote: "The sun's share is its part of all heat that came into the tank.",
    savedNote: "Saved is what the sun's heat would have cost from the meter, less the electricity of the loop pump.",
    noPrice: "With the price of electricity in the site file (price under [electricity]), the page tells what was saved.",
    noSun: "Heat from the sun can't be counted in this house: that takes a collector probe and a tank bottom probe.",
  },

  installer: {
    words: "Installer",
    may: {
      see: "You may see what stands here, and change nothing.",
      use: "You may use (hot water now, holiday), and change nothing here.",
      install: "You may install: set outputs by hand, begin the service state, change settings.",
    },
    mayNot: {
      see: "This takes somebody who may install; you may see.",
      use: "This takes somebody who may install; you may use.",
    },
    unheard: "Nothing can be asked for while the controller is not heard.",
    logIn: "Come in with name and password",
    service: {
      heading: "Service state",
      on: "The service state is on: every output is held off, frost protection too.",
      off: "The service state is off: the controller looks after the plant.",
      hint: "It is no isolator: before you open anything, switch off and lock the isolator, and let the loop cool. Its end is your word that the plant has been mended.",
      begin: "Begin the service state",
      end: "End the service state",
    },
    readings: "Readings as they come",
    outputs: "Outputs and votes",
    quality: (quality: Reading["quality"], heldOver: boolean): string =>
      heldOver ? "good, held over from an earlier sample" : { good: "good", suspect: "doubted", missing: "missing" }[quality],
    came: (quality: string, kind: string, raw: string): string =>
      [`Quality: ${quality}`, `probe: ${kind}`, ...(raw === "" ? [] : [`raw: ${raw}`])].join(" · "),
    fault: (words: string) => `Fault: ${sentence(words)}`,
    won: "Won:",
    lost: "Lost:",
    level: { on: "on", off: "off", "75 %": "75 %", "50 %": "50 %", "25 %": "25 %" },
    levelOf: (name: string) => `Set the ${name} to`,
    minutes: "for so many minutes",
    minutesWrong: "Write a whole number of minutes, 1 to 1440.",
    set: (name: string) => `Set the ${name} by hand`,
    release: (name: string) => `Give the ${name} back`,
    byHand: (ratio: number, end: string, seconds: number) =>
      `By hand ${ratio <= 0 ? "off" : ratio >= 1 ? "on" : `at ${Math.round(ratio * 100)} %`} until ${end}, for another ${span(seconds)}.`,
    ended: "The time is over: it is no longer set by hand.",
    settings: {
      heading: "Settings",
      hint: "A change counts from the next tick on, is held to all that a site file is held to, and is kept beside the file.",
      whose: "Settings of",
      house: "the house, for systems without their own",
      newValue: "New value",
      set: "Change",
      unit: "Unit",
      noUnit: "times of the day",
      allowed: "Allowed",
      byDefault: "Default",
      inFile: "In the site file",
      changed: "Changed",
      isChanged: "changed",
      unchanged: "never",
      changedFrom: (from: string, when: string, by: string) => `from ${from}, ${when}, by ${by}`,
      changes: "Changes that count",
      noChanges: "None: everything is as the site file says.",
      change: (setting: string, from: string, to: string) => `${setting.replace(/_/g, " ")} from ${from} to ${to}`,
      changeOf: (owner: string, what: string, when: string, by: string) => `${owner}: ${what} (${when}, ${by})`,
      undo: "Take the newest change back",
      siteFileHeading: "The site file",
      siteFileHint: "With the changes in it: to keep, or to put in the place of the file on the board. It holds no passwords.",
      siteFile: "Save the site file",
    },
  },

  foot: {
    may: {
      see: "This page only shows; nothing can be asked for from it.",
      use: "Whatever is asked for here, protections come first. To stop heater or pump for sure, use the isolator.",
      install: "Whatever is asked for here, protections come first. To stop heater or pump for sure, use the isolator.",
    },
    running: (version: string, seconds: number) => `sunstoker ${version}, running for ${span(seconds)}`,
    figures: "Figures for programs:",
  },
} as const;
