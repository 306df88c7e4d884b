package rivals

import "cmp"

// setups are the homes of the bench with their places. Where the sun is strong the
// collectors are smaller, as they are built there, and so that the heater has
// something to do.
var setups = []struct {
	climate  *climate
	home     home
	holidays string
	areaM2   float64 // of each collector field; zero for the home's own
}{
	{&northItaly, family, "1 August to 16 August, 20 February to 27 February", 0},
	{&greensboro, bathers, "", 0},
	{&highland, three, "", 2.4},
	{&mediterranean, couple, "5 January to 12 January, 5 July to 20 July", 1.6},
	{&continental, six, "", 0},
	{&maritime, family, "", 0},
	{&desert, three, "", 1.4},
	{&north, eight, "1 July to 21 July", 0},

	{&northItaly, three, "", 0},
	{&greensboro, eight, "", 0},
	{&highland, couple, "", 1.4},
	{&mediterranean, family, "", 3.4},
	{&continental, bathers, "", 0},
	{&maritime, couple, "", 0},
	{&desert, six, "", 2.8},
	{&north, family, "", 0},

	{&northItaly, large, "", 0},
	{&greensboro, medium, "", 0},
	{&highland, large, "", 3.4},
	{&maritime, medium, "", 0},
}

// Seeds of people and weather. Train and report cases share none of them, and
// the years on which usual windows are tuned have others again.
const (
	trainSeed  = 1
	reportSeed = 101
	otherYear  = 10_000 // is added for the year before
)

// cases are all setups with a seed. A typical year is taken as published when
// typical is set, else with its days in another order.
func cases(seed uint64, typical bool) []Case {
	var all []Case
	for i, s := range setups {
		c := Case{climate: s.climate, home: s.home, Holidays: s.holidays, PeopleSeed: seed + uint64(i), WeatherSeed: seed + uint64(i)}
		c.AreaM2 = cmp.Or(s.areaM2, c.AreaM2)
		if s.climate.typical != nil && typical {
			c.WeatherSeed = 0
		}
		all = append(all, c)
	}
	return all
}

// Train are the cases on which the rule may be tuned, each house with so many
// seeds.
func Train(seeds int) []Case { return seeded(trainSeed, seeds, false) }

// Report are the cases of the table, likewise. Of the typical years the first seed
// takes the published order of days, further ones take others.
func Report(seeds int) []Case { return seeded(reportSeed, seeds, true) }

// MostSeeds bounds how many years a house is given, all with seeds of their own.
const MostSeeds = 8

// seedStride takes train and report cases past each other from seed to seed.
const seedStride = 200

func seeded(first uint64, seeds int, typical bool) (all []Case) {
	for i := range seeds {
		all = append(all, cases(first+uint64(i)*seedStride, typical && i == 0)...)
	}
	return all
}

// lastYear is another year of a case: the same home and place, other weather and
// other days of the same people.
func (c Case) lastYear() Case {
	c.PeopleSeed += otherYear
	c.WeatherSeed += otherYear
	return c
}
