package dashboard

import (
	"log/slog"
	"math"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/station/tick"
)

// pastHouse is the sunny house over days, as plain as can be: an invented sun,
// somebody who showers, a heater for the evening, now and then a finding and an
// output by hand.
type pastHouse struct {
	history *history.History
	tick    tick.Tick
	topC    float64
}

// pastEnd is when the past of the tests ends: where the sunny tick stands.
var pastEnd = sunnyTick().Wall.Time

// pastStep is how far apart the ticks are: as far as one can stand for.
const pastStep = 5 * time.Second

// lived is a house with so many days behind it.
func lived(t testing.TB, folder string, days int) *pastHouse {
	t.Helper()
	h := &pastHouse{
		history: history.New(history.Options{Folder: folder, MinutesFor: history.UsualMinutesFor, AllFor: history.UsualAllFor, Log: slog.New(slog.DiscardHandler)}),
		tick:    *sunnyTick(), topC: 44,
	}
	h.tick.Number, h.tick.At = 0, 0
	h.tick.Wall.Time = pastEnd.AddDate(0, 0, -days)
	h.tick.Systems[0].Energy = control.Energy{}
	for h.tick.Wall.Time.Before(pastEnd) {
		h.pass(12 * time.Hour)
		if h.history.Flush(); h.history.Trouble() != "" {
			t.Fatal(h.history.Trouble())
		}
	}
	return h
}

func (h *pastHouse) pass(span time.Duration) {
	for end := h.tick.Wall.Time.Add(span); h.tick.Wall.Time.Before(end) && h.tick.Wall.Time.Before(pastEnd); {
		h.tick.Number++
		h.tick.At += pastStep
		h.tick.Wall.Time = h.tick.Wall.Time.Add(pastStep)
		h.live()
		next := h.tick
		next.Readings = append([]tick.Reading(nil), next.Readings...)
		next.Outputs = append([]tick.Output(nil), next.Outputs...)
		next.Systems = append([]tick.System(nil), next.Systems...)
		h.history.Watch(&next)
	}
}

// live is one step of the house.
func (h *pastHouse) live() {
	local := h.tick.Wall.Time.In(zone())
	day, hour := local.YearDay(), float64(local.Hour())+float64(local.Minute())/60
	sky := 0.25 + 0.75*math.Abs(math.Sin(float64(day)*1.7))
	sun := sky * max(0, math.Sin(math.Pi*(hour-7.5)/9.5))
	outdoorC := 3 + 4*math.Sin(math.Pi*(hour-9)/12)
	collectorC, bottomC := outdoorC+85*sun, h.topC-9
	pump, heater := &h.tick.Outputs[0], &h.tick.Outputs[1]
	override := pump.Override
	switch byHand := day%11 == 2 && hour >= 10 && hour < 11; {
	case byHand:
		pump.Override = control.OverrideState{System: "roof", Actuator: "loop_pump", Level: 1, Left: time.Duration((11 - hour) * float64(time.Hour))}
		decide(pump, 1, control.Person, control.SaysOverride, (11-hour)*3600)
	case override.Left > 0:
		pump.Override = control.OverrideState{}
		fallthrough
	case collectorC > bottomC+8, pump.Driven > 0 && collectorC > bottomC+3:
		decide(pump, 1, control.Comfort, control.SaysLoopGains, collectorC, collectorC-bottomC)
	default:
		decide(pump, 0, control.Comfort, control.SaysLoopNoGain, collectorC, bottomC, 8)
	}
	switch evening := hour >= 17 && hour < 22; {
	case !evening:
		decide(heater, 0, control.Comfort, control.SaysHeaterOutsideWindows, h.topC)
	case h.topC < 45, heater.Driven > 0 && h.topC < 52:
		decide(heater, 1, control.Comfort, control.SaysHeaterCold, h.topC, 45)
	default:
		decide(heater, 0, control.Comfort, control.SaysHeaterWarm, h.topC, 45)
	}
	h.warm(sun, hour, pump.Driven, heater.Driven)
	for i, v := range []float64{collectorC, h.topC, bottomC, outdoorC} {
		h.tick.Readings[i].Value = v
	}
	h.tick.Systems[0].HotLitres = max(0, (h.topC-38)*8)
	h.tick.Findings = nil
	if day%9 == 4 && hour >= 12 && hour < 15.5 {
		h.tick.Findings = []control.Finding{{Kind: control.FoundStagnation, System: 0, Evidence: says(control.SawStagnation, 141, 1900)}}
	}
}

// warm books the heat of a step and lets the tank feel it: 200 l of water.
func (h *pastHouse) warm(sun, hour, pump, heater float64) {
	seconds := pastStep.Seconds()
	sunJ, meterJ, lossJ := 2400*sun*pump*seconds, 2000*heater*seconds, 1.9*(h.topC-18)*seconds
	drawnJ := 0.0
	if hour >= 6.5 && hour < 7.5 || hour >= 19 && hour < 20.5 {
		drawnJ = 3000 * seconds
	}
	h.topC += (sunJ + meterJ - lossJ - drawnJ) / (200 * 4186)
	e := &h.tick.Systems[0].Energy
	e.SunJ, e.MeterJ, e.DrawnJ, e.TankLossJ, e.PumpJ = e.SunJ+sunJ, e.MeterJ+meterJ, e.DrawnJ+drawnJ, e.TankLossJ+lossJ, e.PumpJ+25*pump*seconds
}

func decide(o *tick.Output, level float64, rank control.Rank, why control.Words, values ...float64) {
	o.Level, o.Driven, o.Rank, o.Reason = level, level, rank, says(why, values...)
}

// pastWorth is what the tests hold the heat from the sun against.
var pastWorth = Worth{
	PricePerKWh: 0.30, Currency: "EUR",
	PromisedKWh: map[string][]float64{"roof": {150, 190, 260, 280, 310, 310, 330, 320, 270, 220, 150, 130}},
}

// remembering is a dashboard with the history of a house, for somebody who may see.
func remembering(h *pastHouse) *Dashboard {
	d := New(Options{Now: stopped, Past: h.history, Worth: pastWorth})
	d.Watch(sunnyTick())
	return d
}
