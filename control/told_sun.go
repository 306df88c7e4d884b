package control

import "math"

// ToldSun is how well a forecast of others has foretold what this plant makes of
// its sun, beside the plant's own forecast, and so how far it is believed. Both are
// held against the heat that came, day by day: for the rest of a day from its third
// on, and for a whole day at its begin.
type ToldSun struct {
	Days     float64    `json:"days"`      // that were foretold and came
	Sun      float64    `json:"sun"`       // kWh of such a day, in the mean
	Light    float64    `json:"light"`     // kWh/m² that were foretold for it, likewise
	Judged   [2]float64 `json:"judged"`    // days on which both forecasts were judged
	OwnMiss  [2]float64 `json:"own_miss"`  // square of what the plant's own missed by, kWh², in the mean
	ToldMiss [2]float64 `json:"told_miss"` // likewise of the foretold
	Low      [2]float64 `json:"low"`       // part of what both together foresee that nine days of ten have

	Now     [2]float64 `json:"now"`     // kWh/m² foretold for today
	Covered [2]bool    `json:"covered"` // they are known
}

const (
	toldDays  = 5    // judged before a forecast is believed at all
	toldFades = 15.0 // days in which a record fades
	// leastTold is a mean of foretold light, kWh/m² a day, by which heat can be
	// divided.
	leastTold = 0.05
	// mostMissKWh and mostDayKWh bound what a broken book can teach of a day.
	mostMissKWh, mostDayKWh = 300, 20000
)

// follow goes along with a look at the sun: was is what the plant's own forecast
// remembered before it, is what it remembers after it, and rest is the light that is
// foretold from now to midnight, kWh/m².
func (t *ToldSun) follow(was, is *SunHabits, rest float64, known bool) {
	switch {
	case was.Known && is.Day == was.Day:
		if was.Foreseen[restOfToday] == 0 && is.Foreseen[restOfToday] > 0 {
			t.Now[restOfToday], t.Covered[restOfToday] = rest, known
		}
	case was.Known && is.Day == was.Day+1:
		t.closeDay(was)
		t.forgetToday()
		t.Now[allTomorrow], t.Covered[allTomorrow] = rest, known
	default:
		t.forgetToday()
	}
}

func (t *ToldSun) forgetToday() { t.Now, t.Covered = [2]float64{}, [2]bool{} }

// closeDay judges both forecasts by a day that is over. A full tank hides what the
// sun could have brought, so that such a day proves neither.
func (t *ToldSun) closeDay(own *SunHabits) {
	if own.Clear < leastClear || own.Spoilt {
		return
	}
	t.judge(restOfToday, own, own.Sun-own.Before)
	t.judge(allTomorrow, own, own.Sun)
	if t.Covered[allTomorrow] {
		weight := max(1/(t.Days+1), 1/toldFades)
		t.Sun += weight * (min(mostDayKWh, own.Sun) - t.Sun)
		t.Light += weight * (t.Now[allTomorrow] - t.Light)
		t.Days = min(t.Days+1, 10000)
	}
}

func (t *ToldSun) judge(lead int, own *SunHabits, cameKWh float64) {
	ratio, known := t.ratio()
	ownKWh := own.Foreseen[lead]
	if !known || !t.Covered[lead] || ownKWh < leastSunKWh {
		return
	}
	if t.Judged[lead] == 0 {
		low, _ := own.edges()
		t.Low[lead] = low[lead]
	}
	toldKWh := ratio * t.Now[lead]
	t.Low[lead] = lowEdge(t.Low[lead], cameKWh, mix(ownKWh, toldKWh, t.trust(lead)))
	weight := max(1/(t.Judged[lead]+1), 1/toldFades)
	t.OwnMiss[lead] += weight * (missed(cameKWh, ownKWh) - t.OwnMiss[lead])
	t.ToldMiss[lead] += weight * (missed(cameKWh, toldKWh) - t.ToldMiss[lead])
	t.Judged[lead] = min(t.Judged[lead]+1, 10000)
}

// ratio is what the plant makes of foretold light, kWh by kWh/m². It holds what the
// forecast is always wrong by as well.
func (t *ToldSun) ratio() (ratio float64, known bool) {
	if t.Days < 1 || t.Light < leastTold {
		return 0, false
	}
	return min(mostEdge, t.Sun/t.Light), true
}

// trust is the weight of the foretold beside the plant's own forecast, 0 to 1: two
// independent figures are best mixed by the inverse of their squared errors (any
// textbook of statistics, from memory).
func (t *ToldSun) trust(lead int) float64 {
	both := t.OwnMiss[lead] + t.ToldMiss[lead]
	if _, known := t.ratio(); !known || t.Judged[lead] < toldDays || both <= 0 {
		return 0
	}
	return t.OwnMiss[lead] / both
}

// sunSight is how the heat of the sun is foreseen, by lead.
type sunSight struct {
	own, ownLow   [2]float64 // kWh by kWh/m² of clear light; part that nine days of ten have
	trust, mixLow [2]float64 // of the foretold; part that nine days of ten have of both together
	told          float64    // kWh by kWh/m² of foretold light
}

func (c *Controller) sightOf(s *system) (v sunSight) {
	m := &s.mem.SunFirst
	v.own = [2]float64{restOfToday: m.Sun.today(), allTomorrow: m.Sun.tomorrow()}
	v.ownLow, _ = m.Sun.edges()
	if c.lightCounts() {
		v.told, _ = m.Told.ratio()
		v.trust, v.mixLow = [2]float64{restOfToday: m.Told.trust(restOfToday), allTomorrow: m.Told.trust(allTomorrow)}, m.Told.Low
	}
	return v
}

// at is the heat that a step should bring, and that it surely does, in kW by its
// clear light and by what is foretold for it, with the weight of the latter.
func (v *sunSight) at(lead int, clearKW, toldKW float64, known bool) (sunKW, sureKW, trust float64) {
	own := v.own[lead] * clearKW
	if trust = v.trust[lead]; !known || trust == 0 {
		return own, v.ownLow[lead] * own, 0
	}
	sunKW = mix(own, v.told*toldKW, trust)
	return sunKW, v.mixLow[lead] * sunKW, trust
}

// mix is a figure of both forecasts together.
func mix(own, told, trust float64) float64 { return own + trust*(told-own) }

// missed is the square of a miss, kWh².
func missed(cameKWh, foreseenKWh float64) float64 {
	miss := min(mostMissKWh, math.Abs(cameKWh-foreseenKWh))
	return miss * miss
}
