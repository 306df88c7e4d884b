package site

import (
	"sunstoker/control"
)

// wishSchema is the whole file of a wish. Place, household and surroundings are
// the tables of a site file.
var wishSchema table

func init() {
	wishSchema = table{
		keys: []key{
			{name: "name", kind: plainText, form: &nameForm, required: true, example: "House on the hill",
				meaning: "What the house is called in the report.",
				set:     func(t *target, v value) { t.site.Name = v.text }},
		},
		tables: []*table{&placeTable, &householdTable, &surroundingsTable, &roofTable, &moduleTable, &choicesTable, &wishPricesTable},
	}
	wishPricesTable.keys = wishPriceKeys()
}

var roofTable = table{
	name: "roof", required: true,
	meaning: "Where the collectors may lie.",
	keys: []key{
		{name: "tilt", unit: control.Degree, min: 0, max: 90, required: true, example: "40 °",
			meaning: "Tilt of the collectors: 0 ° lies flat, 90 ° stands upright.",
			set:     func(t *target, v value) { t.wish.Roof.TiltDeg = v.number }},
		{name: "direction", unit: control.Degree, min: 0, max: 360, required: true, example: "180 °",
			meaning: "Where they look to, clockwise from north: 90 ° east, 180 ° south, 270 ° west.",
			set:     func(t *target, v value) { t.wish.Roof.DirectionDeg = v.number }},
		{name: "most_area", unit: control.SquareMetre, min: 0.5, max: 100, advised: true, def: "12 m²",
			meaning: "Room for collectors.",
			set:     func(t *target, v value) { t.wish.Roof.MostAreaM2 = v.number }},
		{name: "horizon", kind: plainText, form: &horizonForm, example: "25 ° at 100 °, 10 ° at 180 °, 30 ° at 260 °",
			meaning: "How high hills and houses reach, seen from the collectors, and in which direction, clockwise from north; in between it runs straight, all around. Behind it the sun gives no beam.",
			set:     func(t *target, v value) { t.wish.Roof.Horizon, _ = horizonOf(v.text) }}, // the form has proved it
		{name: "shade", kind: plainText, form: &shadeForm, example: "40, 30, 15, 5, 0, 0, 0, 0, 5, 15, 30, 40 %",
			meaning: "Share of the sun's beam that trees and neighbours take from the collectors, from January to December. It comes on top of the horizon.",
			set:     func(t *target, v value) { t.wish.Roof.ShadePercent, _ = parseMonths(v.text, "%", 100) }},
		{name: "pipe_length", unit: control.Metre, min: 0.5, max: 200, def: "12 m",
			meaning: "Length of the pipe from collector to tank in a pumped loop, one way.",
			set:     func(t *target, v value) { t.wish.Roof.PipeM = v.number }},
		{name: "height", unit: control.Metre, min: 0, max: 60, def: "5 m",
			meaning: "How high the collectors' top stands above the gauge and vessel of a pumped loop.",
			set:     func(t *target, v value) { t.wish.Roof.HeightM = v.number }},
	},
}

var moduleTable = table{
	name:    "collector",
	meaning: "The collector that the field is made of, with the figures of its test report (ISO 9806). What is left out is of the usual size for a flat plate (common practice, no source).",
	keys: []key{
		{name: "module", unit: control.SquareMetre, min: 0.5, max: 20, def: "2 m²",
			meaning: "Area of one collector, of the kind that its figures are for, gross or aperture.",
			set:     func(t *target, v value) { t.wish.Collector.AreaM2 = v.number }},
		{name: "content", unit: control.Litre, min: 0.2, max: 50, def: "1.6 l",
			meaning: "Fluid in one collector.",
			set:     func(t *target, v value) { t.wish.Collector.ContentL = v.number }},
		{name: "optical_efficiency", unit: control.Percent, min: 30, max: 95, def: "78 %",
			meaning: "Efficiency without heat loss (eta 0 of the test report).",
			set:     func(t *target, v value) { t.wish.Collector.OpticalEfficiencyPercent = v.number }},
		{name: "loss", unit: control.LossPerArea, min: 0.3, max: 30, def: "3.8 W/(m² K)",
			meaning: "Heat loss by area (a1 of the test report).",
			set:     func(t *target, v value) { t.wish.Collector.LossWM2K = v.number }},
		{name: "loss_growth", unit: control.LossPerArea2, min: 0, max: 0.2, def: "0.012 W/(m² K²)",
			meaning: "How the heat loss grows with temperature (a2 of the test report).",
			set:     func(t *target, v value) { t.wish.Collector.LossGrowthWM2K2 = v.number }},
	},
}

const either = "either"

var choicesTable = table{
	name:    "choices",
	meaning: "What may be tried.",
	keys: []key{
		{name: "loop", kind: choice, choices: []string{pumped, natural, either}, advised: true, def: either,
			meaning: `"natural" circulation wants the tank above the collectors, "pumped" leaves it free; "either" tries both.`,
			set: func(t *target, v value) {
				t.wish.Choices.Pumped, t.wish.Choices.Natural = v.text != natural, v.text != pumped
			}},
		{name: "store", kind: choice, choices: []string{DrinkingWater.String(), LoopFluid.String()}, def: DrinkingWater.String(),
			meaning: `What the tanks hold: "drinking water" that a solar coil heats, or "loop fluid" with a coil for the drinking water in it.`,
			set: func(t *target, v value) {
				if v.text == LoopFluid.String() {
					t.wish.Choices.Store = LoopFluid
				}
			}},
		{name: "tanks", kind: plainText, form: &tanksForm, def: "100, 200, 300 l",
			meaning: "Tanks that can be had.",
			set:     func(t *target, v value) { t.wish.Choices.TanksL, _ = tanksOf(v.text) }}, // the form has proved it
		{name: "most_systems", kind: wholeNumber, min: 1, max: 4, def: "2",
			meaning: "How many systems, each a tank with collectors of its own, the house may get.",
			set:     func(t *target, v value) { t.wish.Choices.MostSystems = int(v.number) }},
		{name: "recovery", unit: control.Second, min: 1800, max: 86400, def: "3 h",
			meaning: "In which time the backup heater must make the upper part of a cold tank hot. It decides the heater's power.",
			set:     func(t *target, v value) { t.wish.Choices.Recovery = seconds(v.number) }},
	},
}

// Bounds of a list of tanks.
const (
	leastTankL = 50
	mostTankL  = 2000
	mostTanks  = 6
)

var tanksForm = form{
	allowed: `one to six tanks of 50 to 2000 l with commas between, such as "100, 200, 300 l"`,
	wrong:   func(text string) string { return wrongIn(tanksOf(text)) },
}

var horizonForm = form{
	allowed: `heights from 0 to 90 ° at directions from 0 to 360 °, with commas between, such as "25 ° at 100 °, 10 ° at 180 °"`,
	wrong:   func(text string) string { return wrongIn(horizonOf(text)) },
}

var shadeForm = form{
	allowed: `twelve figures from 0 to 100 with commas between, from January to December, and % behind them`,
	wrong:   func(text string) string { return wrongIn(parseMonths(text, "%", 100)) },
}

var wishPricesTable = table{
	name:    "prices",
	meaning: "What things cost, all in one currency. These figures are invented: put your own in their place.",
}

// wishPrice is a price of a wish; without a default it may be none.
type wishPrice struct {
	name, def, example, meaning string
	of                          func(*Prices) *Money
}

var wishPrices = []wishPrice{
	{"budget", "", "5000 EUR", "The most that may be spent. Left out, there is no bound.", func(p *Prices) *Money { return &p.Budget }},
	{"tank", "450 EUR", "", "A tank with its heater and fittings, without what it costs by the litre.", func(p *Prices) *Money { return &p.Tank }},
	{"tank_litre", "2.5 EUR", "", "What a tank costs more for every litre.", func(p *Prices) *Money { return &p.TankLitre }},
	{"collector", "220 EUR", "", "A square metre of collector, fitted on the roof.", func(p *Prices) *Money { return &p.CollectorM2 }},
	{"pumped", "1100 EUR", "", "All else of a pumped system: pump, vessel, valves, pipes, fluid, work.", func(p *Prices) *Money { return &p.Pumped }},
	{"natural", "500 EUR", "", "All else of a system of natural circulation: frame, vessel, valves, pipes, fluid, work.", func(p *Prices) *Money { return &p.Natural }},
	{"house", "650 EUR", "", "What is needed once, however many systems: board, box, probes, the electrician.", func(p *Prices) *Money { return &p.House }},
	{"yearly_service", "40 EUR", "", "Service of one system in a year, its fluid included.", func(p *Prices) *Money { return &p.YearlyService }},
}

const inventedElectricityText = "0.30 EUR"

// inventedElectricity is the price in a wish that names none.
var inventedElectricity, _ = parsePrice(inventedElectricityText)

func wishPriceKeys() []key {
	keys := []key{{name: "electricity", kind: plainText, form: &priceForm, advised: true, def: inventedElectricityText,
		meaning: "A kWh from the meter, with the currency behind it.",
		set:     func(t *target, v value) { t.site.Electricity, _ = parsePrice(v.text) }}} // the form has proved it
	for _, p := range wishPrices {
		keys = append(keys, key{name: p.name, kind: plainText, form: &moneyForm, advised: p.def != "", def: p.def, example: p.example, meaning: p.meaning,
			set: func(t *target, v value) { *p.of(&t.wish.Prices) = mustMoney(v.text) }})
	}
	return append(keys, key{name: "years", kind: wholeNumber, min: 1, max: 40, advised: true, def: "15",
		meaning: "How many years the plant is to last, over which the money is added up.",
		set:     func(t *target, v value) { t.wish.Prices.Years = int(v.number) }})
}

// mostMoney leaves room for currencies of which a kWh costs thousands.
const mostMoney = 1_000_000_000

var moneyForm = form{
	allowed: `a price from 0 to 1000000000 with its currency, such as "450 EUR"`,
	wrong:   func(text string) string { return wrongIn(parseMoney(text, mostMoney)) },
}

// mustMoney reads what its form has proved, or a default.
func mustMoney(text string) Money {
	m, err := parseMoney(text, mostMoney)
	if err != nil {
		panic("site: " + err.Error())
	}
	return m
}
