// The page in Spanish, in the words of the trade.

import type { Knowledge, Output, Reading } from "../api.ts";
import type { Texts } from "../texts.ts";
import { capital, chosenDegrees, clockWords, count, degrees, measured, ranFor, sentence, span } from "./format.ts";

const small = ["ninguna ducha", "una ducha", "dos duchas", "tres duchas", "cuatro duchas", "cinco duchas", "seis duchas"];
const showersOf = (n: number): string => small[n] ?? `${count(n)} duchas`;
const withArticle = (actuator: string): string => `${actuator.startsWith("disipador") ? "el" : "la"} ${actuator}`;
const litresOf = (n: number): string => `${count(n)} ${n === 1 ? "litro" : "litros"}`;

export const spanish: Texts = {
  titleWithoutData: "Agua caliente",
  title: (water, site) => `${water} · ${site}`,

  line: {
    connecting: "conectando",
    waiting: "esperando",
    live: "en directo",
    old: "parado",
    lost: "sin conexión",
  },
  announce: {
    waiting: "El control acaba de arrancar.",
    live: "Conectado; las lecturas son actuales.",
    old: "El control no informa; las lecturas son viejas.",
    lost: "Se ha perdido la conexión; las lecturas son viejas.",
  },
  clock: (hhmm) => `hora de la casa ${hhmm}`,
  clockUnset: "reloj sin poner en hora",
  banner: {
    connecting: "",
    waiting: "El control acaba de arrancar. Las primeras lecturas llegan en un momento.",
    live: "",
    old: (age) =>
      `El control no informa desde hace ${age}. Lo que se ve abajo es viejo. ` +
      "Si sigue así, mire la placa; no dé por hecho que la bomba o la resistencia estén paradas.",
    lost: (age) =>
      `Se ha perdido la conexión con el control. Lo que se ve abajo se envió hace ${age}. ` +
      "Esta página lo intenta de nuevo por sí sola; el control sigue trabajando sin ella.",
    lostEmpty: "No se llega al control. Esta página lo intenta de nuevo por sí sola.",
    misfit: "Esta página y el programa no encajan. Vuelva a cargar la página.",
  },

  water: {
    caption: "agua en la parte alta del depósito",
    captionOld: "agua en la parte alta del depósito, último dato conocido",
    words: { cold: "fría", lukewarm: "tibia", warm: "templada", hot: "caliente", veryHot: "muy caliente" },
    unknown: "sin dato",
    unknownCaption: "La parte alta del depósito no se puede leer ahora.",
    left: (litres, tapC, showers) =>
      litres === 0
        ? `No queda agua a ${chosenDegrees(tapC)}.`
        : `${litres === 1 ? "Queda" : "Quedan"} ${litresOf(litres)} a ${chosenDegrees(tapC)}, ` +
          `${showers === 0 ? "que no bastan para una ducha" : `para ${showersOf(showers)}`}.`,
    bottomInstead: (tempC) => `La parte baja del depósito está a ${degrees(tempC)}.`,
  },
  scalding:
    "Peligro de quemaduras: el agua tan caliente quema la piel, a 60 °C en pocos segundos, y antes a los niños. " +
    "Una válvula mezcladora termostática tiene que templarla antes de los grifos. Compruebe el agua con la mano antes de que nadie se bañe.",

  heating: (sun: Knowledge, meter: Knowledge): string => {
    if (sun === "yes") {
      if (meter === "yes") return "El sol y la resistencia de apoyo calientan el agua a la vez.";
      return meter === "no"
        ? "El sol calienta el agua."
        : "El sol calienta el agua; no se sabe si también la resistencia de apoyo.";
    }
    if (meter === "yes") {
      return sun === "no"
        ? "La resistencia de apoyo calienta el agua, con electricidad del contador."
        : "La resistencia de apoyo calienta el agua; no se sabe si el sol ayuda.";
    }
    if (sun === "no" && meter === "no") return "Ahora mismo nada calienta el agua.";
    return meter === "no"
      ? "Ahora mismo no se sabe si el sol calienta el agua."
      : "Ahora mismo no se sabe si algo calienta el agua.";
  },
  next: {
    servicing: "Alguien trabaja en la instalación: nada calienta ni bombea hasta que acabe el estado de mantenimiento.",
    byHand: (output, end) => `Hasta ${end}, ${withArticle(output)} sigue como se puso a mano, salvo que una protección exija otra cosa.`,
    boost: (end) => `Se ha pedido agua caliente ya, hasta ${end} como mucho.`,
    hygiene: (tempC, left) =>
      `El calentamiento de higiene sigue hasta que la parte alta del depósito haya estado a ${degrees(tempC)} otros ${span(left)}.`,
    holiday: (end) => `Mientras duran las vacaciones, hasta ${end}, solo se evita que el depósito se enfríe del todo.`,
    within: (energy, hours) => `${energy} en ${hours}`,
    waits: (end, sun, wanted) =>
      `La resistencia de apoyo espera al sol hasta ${end} como muy tarde: el sol debería traer ${sun}, y lo probable es que se gasten ${wanted}.`,
    later: (at) => `Hay agua caliente para un rato: si nada cambia, la resistencia de apoyo arranca a ${at}.`,
    enough: (sun, wanted) =>
      `La resistencia de apoyo no tiene que arrancar: lo probable es que se gasten ${wanted}, y el sol debería traer ${sun}.`,
    opens: (clock) => `La resistencia de apoyo puede volver a ayudar a partir de ${clockWords(clock)}.`,
    helps: (tempC) => `La resistencia de apoyo ayuda cuando la parte alta del depósito baja a ${degrees(tempC)}.`,
    night: (sunrise) => `Es de noche; el sol sale a ${clockWords(sunrise)}.`,
    polarNight: "Estos días el sol no sale.",
    hygieneDue: "Toca un calentamiento de higiene.",
    hygieneIn: (left) => `El próximo calentamiento de higiene toca en ${span(left)}.`,
    forecast: (trouble) => `La previsión de la luz no se puede usar: ${trouble}.`,
  },
  lastKnown: (words) => `Último dato conocido: ${words}`,
  because: (output) => `${capital(output)}:`,
  natural: "Este circuito circula por termosifón; no tiene bomba.",

  places: {
    collector: "colector", tank_top: "parte alta del depósito", tank_bottom: "parte baja del depósito",
    outdoor_air: "aire exterior", coil_return: "retorno del serpentín", circulation_return: "retorno de la recirculación",
    tap: "grifo", loop_flow: "caudal del circuito", draw_flow: "caudal de consumo", loop_pressure: "presión del circuito",
    pump_current: "corriente de la bomba", heater_current: "corriente de la resistencia",
    circulation_button: "pulsador de recirculación",
  },
  actuators: {
    loop_pump: "bomba del circuito", backup_heater: "resistencia de apoyo",
    hot_water_circulation: "recirculación de agua caliente", heat_dump: "disipador de calor",
  },

  frame: {
    views: "Vistas de la casa",
    language: "Idioma",
    untranslated: "Parte de lo que dice el propio programa, como los avisos, está en inglés.",
  },

  glance: {
    words: "De un vistazo",
  },

  wall: {
    words: "En la pared",
    unknown: "?",
    wasSo: "último dato conocido",
    heats: (sun, meter) => {
      if (sun === "yes") return meter === "yes" ? "calientan el sol y la resistencia" : "calienta el sol";
      if (meter === "yes") return "calienta la resistencia de apoyo";
      return sun === "no" && meter === "no" ? "nada calienta" : "no se sabe qué calienta";
    },
    left: (litres, showers) => `${litresOf(litres)}, ${showersOf(showers)}`,
    trouble: (first, others) => (others === 0 ? first : `${first}, y ${others} más`),
    old: {
      old: (age) => `Viejo: el control no informa desde hace ${age}.`,
      lost: (age) => `Viejo: sin conexión, esto es de hace ${age}.`,
    },
    back: "Volver",
    fill: "Pantalla completa",
  },

  findings: {
    words: "Avisos",
    heading: "Qué va mal",
    none: "Sin avisos: no se conoce nada que vaya mal.",
    watched: "Faltan lecturas o se duda de ellas; están en observación.",
    urgency: { at_once: "actúe ya", soon: "pronto", information: "conviene saberlo" },
    unheard: "Hasta que el control vuelva a informar no se sabe si algo va mal.",
    more: "Qué es y qué hacer",
    all: (n, others) => (others > 0 ? `Los ${n} avisos, y qué hacer` : n === 1 ? "Qué es y qué hacer" : "Qué son y qué hacer"),
    likely: "Probablemente",
    check: "Compruebe",
    detail: "Detalle",
    known: (seconds) => `Se sabe desde hace ${span(seconds)}`,
    past: "Ya pasados",
    pastDays: (days) => `Qué fue mal en los últimos ${days} días y ya no, lo más reciente primero.`,
    nothingPast: (days) => `En los últimos ${days} días no fue mal nada que no se diga arriba.`,
    earlier: "Mirar más atrás",
    from: (since, until, length) => `de ${since} a ${until}, ${length}`,
    unsure: "El reloj no estuvo en hora todo el tiempo.",
  },

  readings: {
    heading: "Lecturas",
    houseHeading: "Alrededor de la casa",
    none: "sin valor",
    fresh: "reciente",
    age: (seconds) => `de hace ${span(seconds)}`,
    doubted: (value, unit) => `¿${measured(value, unit)}?`,
    quality: { good: "", suspect: "dudosa", missing: "demasiado vieja" },
    heldOver: (seconds) => `último valor bueno, de hace ${span(seconds)}`,
    why: (r: Reading): string => {
      if (r.why !== null) return r.fault === "" ? sentence(r.why.text) : sentence(`${r.why.text} (${r.fault})`);
      if (!r.held_over) return "";
      return sentence(r.fault === "" ? "La última muestra no sirve" : `La última muestra falló: ${r.fault}`);
    },
  },

  outputs: {
    heading: "Qué funciona, y por qué",
    state: (o: Output): string => {
      const [on, off] = o.actuator === "backup_heater" ? ["calentando", "apagada"]
        : o.actuator === "heat_dump" ? ["disipando calor", "en reposo"] : ["en marcha", "en reposo"];
      const [before, doubt] = o.fault === "" ? ["", ""] : ["¿", "?"];
      const level = o.level_ratio <= 0 ? off : o.level_ratio >= 1 ? on : `${on} al ${Math.round(o.level_ratio * 100)} %`;
      return before + level + doubt;
    },
    fault: (words) =>
      `No se puede accionar: ${words}. No se fíe de lo que se ve aquí; use su interruptor de corte.`,
    held: (seconds) => `Un tiempo mínimo la retiene otros ${span(seconds)}.`,
    override: (ratio, seconds) =>
      `Puesta a mano ${ratio <= 0 ? "en reposo" : ratio >= 1 ? "en marcha" : `al ${Math.round(ratio * 100)} %`} durante otros ${span(seconds)}; las protecciones van primero.`,
    counters: (runSeconds, switchings) =>
      runSeconds <= 0 && switchings === 0
        ? "todavía no ha funcionado nunca"
        : `en total ha funcionado ${ranFor(runSeconds)} y ha conmutado ${switchings === 1 ? "una vez" : `${count(switchings)} veces`}`,
    votes: "Cómo se ha decidido",
    votesHint: "Gana el voto más fuerte; entre iguales, el nivel más bajo.",
    vote: (rank, level) => `${rank}: ${level <= 0 ? "no" : level >= 1 ? "sí" : `${Math.round(level * 100)} %`},`,
    rank: {
      upkeep: "conservación", economy: "economía", comfort: "comodidad",
      hygiene: "higiene", person: "a mano", protection: "protección",
    },
  },

  drawing: {
    collector: "colector", outdoor: "fuera", taps: "grifos", heater: "apoyo",
    pump: "bomba", circulation: "recirculación",
    layers: {
      two: "Entre las dos sondas del depósito los colores son una estimación.",
      one: "Solo se puede leer una sonda del depósito; los colores son los suyos.",
      none: "No se puede leer ninguna sonda del depósito, así que queda en blanco.",
    },
    summary: (name, parts) => `Dibujo de ${name}: ${parts.join(", ")}.`,
    unknown: "?",
  },

  ask: {
    boost: "Agua caliente ya",
    boostHint: "La resistencia de apoyo calienta enseguida, 2 h como mucho.",
    endBoost: "Ya basta",
    holidayHeading: "Fuera de casa",
    days: "Días fuera",
    holiday: "Nos vamos",
    holidayHint: "Cuando nadie gasta agua, la resistencia de apoyo solo evita que el depósito se enfríe del todo.",
    onHoliday: (end) => `Vacaciones hasta ${end}. Hasta entonces la resistencia de apoyo solo evita que el depósito se enfríe del todo. Deje correr el agua caliente de los grifos antes de que nadie se duche.`,
    endHoliday: "Hemos vuelto",
    daysWrong: "Escriba un número entero de días, de 1 a 90.",
    asking: "Preguntando al control …",
    unheard: "El control no ha contestado. Mire abajo qué hace antes de volver a pedir.",
    refused: (status) => `El control lo ha rechazado sin decir nada (${status}). Vuelva a cargar la página.`,
  },

  past: {
    system: "Sistema",
    series: { hot_water: "agua caliente", sun_heat: "del sol", meter_heat: "del contador" },
    unheard: "El control no ha contestado. Esta página lo intenta otra vez cuando se abre la vista de nuevo.",
    none: (words) => `No hay pasado que mostrar. ${sentence(words)}`,
    trouble: (words) => `El histórico está parado o no se puede leer: ${sentence(words)} De la bomba y la resistencia se cuida igual.`,
  },
  days: {
    words: "Días",
    ranges: "Periodos hasta ahora",
    newest: { "6h": "6 horas", "24h": "24 horas", "7d": "7 días", "30d": "30 días", "365d": "un año" },
    earlier: "Antes",
    later: "Después",
    closer: "Más cerca",
    wider: "Más lejos",
    told: (from, to, empty) =>
      `De ${from} a ${to}.` + (empty ? " De este tiempo no se guarda nada: el programa no funcionaba, o hace demasiado." : ""),
    nothingYet: "Todavía no hay nada guardado. Los primeros minutos se ven poco después del arranque.",
    groups: { temperatures: "Temperaturas, °C", heat: "Calor, kW", outputs: "Qué funcionó, parte del tiempo, %" },
    units: { temperatures: "°C", heat: "kW", outputs: "%" },
    instant: "Elija un instante",
    hint: "O toque las curvas. Al arrastrarlas se mueven; dos dedos, o ctrl y la rueda, las acercan o alejan, como + y - en el deslizador.",
    nothingChosen: "todavía no se ha elegido nada",
    momentHeading: (at) => `A ${at}`,
    decided: "Qué se decidió, y por qué",
    decision: (since, rank) => `desde ${since}, ${rank}: `,
    level: (part, level) => {
      if (level <= 0) return part === "backup_heater" ? "apagada" : "en reposo";
      return level >= 1 ? (part === "backup_heater" ? "calentando" : "en marcha") : `al ${Math.round(level * 100)} %`;
    },
    overridden: (parts) => `Puesto a mano entonces: ${parts}.`,
    found: "Qué iba mal entonces",
    measured: (seconds) => `Qué se midió, media de ${span(seconds)} (mínimo … máximo)`,
    notWatched: (before, after) =>
      "De este instante no se guarda nada: el programa no funcionaba." + (before === "" ? "" : ` Funcionó hasta ${before}.`) + (after === "" ? "" : ` Volvió a funcionar desde ${after}.`),
    unsure: "El reloj no estaba en hora entonces; puede que la hora no sea la verdadera.",
    table: "Lo mismo en una tabla",
    from: "Desde",
    unknown: "–",
  },

  energy: {
    words: "Energía",
    periods: "Qué se suma",
    byDay: "por días",
    byMonth: "por meses",
    byYear: "por años",
    before: "Antes",
    after: "Después",
    allYears: "Todos los años",
    allSystems: "toda la casa",
    axis: "kWh",
    none: "De este tiempo no se guarda nada.",
    summary: (sun, meter, share) =>
      `${sun} vinieron del sol y ${meter} del contador` + (share === "" ? "." : `: la parte del sol es ${share}.`),
    meterOnly: (meter) => `${meter} vinieron del contador.`,
    saved: (amount, price) => `El sol ha ahorrado ${amount}, a ${price} por kWh.`,
    against: (promised, share, underWay, by) =>
      `Del sol se prometieron ${promised} para ${by === "day" ? "un mes normal de este nombre" : "un año normal"}` +
      (underWay ? `, que no ha acabado: hasta ahora ha llegado el ${share}.` : share === "" ? "." : `: llegó el ${share}.`),
    fromSun: "del sol",
    fromMeter: "del contador",
    promised: "prometido del sol",
    table: "Calor por periodos",
    column: { day: "Día", month: "Mes", year: "Año" },
    units: (currency) => (currency === "" ? "Calor en kWh" : `Calor en kWh, dinero en ${currency}`),
    sunColumn: "Sol",
    meterColumn: "Contador",
    shareColumn: "Parte del sol",
    savedColumn: "Ahorro",
    promisedColumn: "Prometido",
    watched: (length) => ` observado durante ${length}`,
    underWay: " sin acabar",
    shareNote: "La parte del sol es su parte de todo el calor que entró en el depósito.",
    savedNote: "El ahorro es lo que habría costado del contador el calor del sol, menos la electricidad de la bomba del circuito.",
    noPrice: "Con el precio de la electricidad en el fichero de la instalación (price en [electricity]) la página dice cuánto se ha ahorrado.",
    noSun: "El calor del sol no se puede contar en esta casa: hacen falta una sonda en el colector y otra en la parte baja del depósito.",
  },

  installer: {
    words: "Instalador",
    may: {
      see: "Usted puede ver lo que hay aquí, sin cambiar nada.",
      use: "Usted puede usar la instalación (agua caliente ya, vacaciones), sin cambiar nada aquí.",
      install: "Usted puede instalar: poner salidas a mano, empezar el estado de mantenimiento, cambiar ajustes.",
    },
    mayNot: {
      see: "Para esto hace falta alguien que pueda instalar; usted puede ver.",
      use: "Para esto hace falta alguien que pueda instalar; usted puede usar.",
    },
    unheard: "No se puede pedir nada mientras el control no responde.",
    logIn: "Entrar con nombre y contraseña",
    service: {
      heading: "Estado de mantenimiento",
      on: "El estado de mantenimiento está puesto: todas las salidas quedan apagadas, también la protección contra heladas.",
      off: "El estado de mantenimiento no está puesto: el control cuida de la instalación.",
      hint: "No sustituye al interruptor de corte: antes de abrir nada, corte y bloquee el interruptor, y deje enfriar el circuito. Al terminarlo, usted declara que la instalación está reparada.",
      begin: "Empezar el estado de mantenimiento",
      end: "Terminar el estado de mantenimiento",
    },
    readings: "Lecturas tal como llegan",
    outputs: "Salidas y votos",
    quality: (quality, heldOver) =>
      heldOver ? "buena, de una muestra anterior" : { good: "buena", suspect: "dudosa", missing: "falta" }[quality],
    came: (quality, kind, raw) =>
      [`Calidad: ${quality}`, `sonda: ${kind}`, ...(raw === "" ? [] : [`en bruto: ${raw}`])].join(" · "),
    fault: (words) => `Fallo: ${sentence(words)}`,
    won: "Gana:",
    lost: "Pierde:",
    level: { on: "en marcha", off: "en reposo", "75 %": "75 %", "50 %": "50 %", "25 %": "25 %" },
    levelOf: (name) => `Poner ${withArticle(name)}`,
    minutes: "durante tantos minutos",
    minutesWrong: "Escriba un número entero de minutos, de 1 a 1440.",
    set: (name) => `Poner a mano ${withArticle(name)}`,
    release: (name) => `Devolver ${withArticle(name)} al control`,
    byHand: (ratio, end, seconds) =>
      `A mano ${ratio <= 0 ? "en reposo" : ratio >= 1 ? "en marcha" : `al ${Math.round(ratio * 100)} %`}, hasta: ${end}, otros ${span(seconds)}.`,
    ended: "Se acabó el tiempo: ya no está puesta a mano.",
    settings: {
      heading: "Ajustes",
      hint: "Un cambio cuenta desde el siguiente ciclo, pasa las mismas comprobaciones que el fichero de la instalación y se guarda a su lado.",
      whose: "Ajustes de",
      house: "la casa, para sistemas sin ajustes propios",
      newValue: "Valor nuevo",
      set: "Cambiar",
      unit: "Unidad",
      noUnit: "horas del día",
      allowed: "Permitido",
      byDefault: "Por defecto",
      inFile: "En el fichero",
      changed: "Cambiado",
      isChanged: "cambiado",
      unchanged: "nunca",
      changedFrom: (from, when, by) => `antes ${from}, ${when}, por ${by}`,
      changes: "Cambios que cuentan",
      noChanges: "Ninguno: todo es como dice el fichero de la instalación.",
      change: (setting, from, to) => `${setting.replace(/_/g, " ")} de ${from} a ${to}`,
      changeOf: (owner, what, when, by) => `${owner}: ${what} (${when}, ${by})`,
      undo: "Deshacer el cambio más nuevo",
      siteFileHeading: "El fichero de la instalación",
      siteFileHint: "Con los cambios dentro: para guardarlo, o para ponerlo en lugar del que hay en la placa. No contiene contraseñas.",
      siteFile: "Guardar el fichero de la instalación",
    },
  },

  foot: {
    may: {
      see: "Esta página solo muestra; desde ella no se puede pedir nada.",
      use: "Se pida lo que se pida aquí, las protecciones van primero. Para parar con seguridad la resistencia o la bomba, use el interruptor de corte.",
      install: "Se pida lo que se pida aquí, las protecciones van primero. Para parar con seguridad la resistencia o la bomba, use el interruptor de corte.",
    },
    running: (version, seconds) => `sunstoker ${version}, en marcha desde hace ${span(seconds)}`,
    figures: "Cifras para programas:",
  },
};
