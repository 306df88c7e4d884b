package rivals

import (
	"context"
	"time"

	"sunstoker/control"
	"sunstoker/planner"
	"sunstoker/sim"
	"sunstoker/sim/weather"
)

// stepSize of all runs under the controller. The heater's electricity differs
// from that of steps of 10 s by about a percent, the same way for all rivals
// (TestStepDecidesLittle).
const stepSize = 60 * time.Second

// Outcome is what came of a counted year, all systems together.
type Outcome struct {
	HeaterKWh float64 // electricity of the backup heaters
	Missed    float64 // share of the heat asked for that came too cold, 0 to 1
	AskedKWh  float64
	SunKWh    float64 // given to the tanks by the loops
	LossKWh   float64 // from the tanks to the room
	PumpKWh   float64
	Starts    float64 // of the loop pumps, a day and system
	StartKWh  float64 // in the tanks as the year begins, above 0 degC
}

// ground is a case ready to be run by anybody: its weather is made once.
type ground struct {
	Case
	weather  weather.Source
	step     time.Duration
	foretold bool // the controller is told the light exactly, each midnight
}

func newGround(c Case) (*ground, error) {
	w, err := c.climate.year(c.WeatherSeed)
	return &ground{Case: c, weather: w, step: stepSize}, err
}

// run is a year of the case under settings changed by set, called for each
// system.
func (g *ground) run(ctx context.Context, set func(*control.Settings)) (Outcome, error) {
	r, house, err := g.build(set)
	if err != nil {
		return Outcome{}, err
	}
	if err := g.until(ctx, r, warmUpDays); err != nil {
		return Outcome{}, err
	}
	begin := countersOf(r.House)
	if err := g.until(ctx, r, warmUpDays+g.days()); err != nil {
		return Outcome{}, err
	}
	end := countersOf(r.House)
	o := end.since(&begin, g.days())
	o.StartKWh = tankOf(house).startKWh + begin.storedJ/joulesPerKWh
	return o, nil
}

// until steps a run up to so many days after its start.
func (g *ground) until(ctx context.Context, r *planner.Run, days int) error {
	for day := time.Duration(0); r.House.Elapsed() < time.Duration(days)*24*time.Hour; {
		if r.House.Elapsed() >= day {
			if err := ctx.Err(); err != nil {
				return err
			}
			day = r.House.Elapsed() + 24*time.Hour
			if g.foretold {
				r.Controller.Foretell(exactLight(g.weather, r.House.Now()))
			}
		}
		r.Step()
	}
	return nil
}

const joulesPerKWh = 3.6e6

// counters are the sums over all systems of a house since its start.
type counters struct {
	heaterJ, sunJ, lossJ, pumpJ, storedJ float64 // storedJ: more in the tanks than at the start
	starts, systems                      int
	usage                                sim.Usage
}

func countersOf(h *sim.House) counters {
	c := counters{usage: h.Usage(), systems: h.Systems()}
	for i := range h.Systems() {
		b := h.Book(i)
		c.heaterJ += b.HeaterJ
		c.sunJ += b.LoopToTankJ
		c.lossJ += b.TankLossJ
		c.pumpJ += b.PumpJ
		c.storedJ += b.TankStoredJ
		c.starts += h.Tally(i).PumpStarts
	}
	return c
}

func (c *counters) since(e *counters, days int) Outcome {
	asked := c.usage.AskedJ - e.usage.AskedJ
	o := Outcome{
		HeaterKWh: (c.heaterJ - e.heaterJ) / joulesPerKWh,
		AskedKWh:  asked / joulesPerKWh,
		SunKWh:    (c.sunJ - e.sunJ) / joulesPerKWh,
		LossKWh:   (c.lossJ - e.lossJ) / joulesPerKWh,
		PumpKWh:   (c.pumpJ - e.pumpJ) / joulesPerKWh,
		Starts:    float64(c.starts-e.starts) / float64(days*c.systems),
	}
	if asked > 0 {
		o.Missed = max(0, 1-(c.usage.AtTemperatureJ-e.usage.AtTemperatureJ)/asked)
	}
	return o
}
