package sim

import (
	"fmt"
	"time"

	"sunstoker/sim/household"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
)

// House is weather, a household and one or more systems on one clock. It knows
// the truth; what a controller may know comes through Probes. It is
// deterministic, allocates nothing per step and is not safe for use by several
// goroutines at once.
type House struct {
	config  Config
	elapsed time.Duration
	systems []houseSystem
	table   *weather.Table
	fields  []weather.Field // what the table is for
	taps    *household.Taps // nil in an empty house
	usage   Usage
	chain   []*plant.Plant // all plants, for draws in series; nil for parallel ones
	faults  faultPlan
	broken  houseFault
	probes  []*Probe
	tapped  bool // water was drawn in this step
	opened  bool // and somebody has just opened a tap

	lastStep  time.Duration
	lastStepS float64 // the same in s, which costs a division

	sky     weather.Sample
	skyEnds time.Duration // elapsed time at which sky is out of date
	coldC   float64
}

type houseSystem struct {
	name   string
	plant  *plant.Plant
	share  float64
	drawnL float64 // through the tank in this step
	around plant.Surroundings
	light  weather.OnField
}

// Usage is what the household asked for and got since the start.
type Usage struct {
	Draws, ShortDraws int     // a draw is short if less than 98 % of its heat came at temperature
	Litres, HotLitres float64 // at the tap, and of it out of the tanks
	AskedJ            float64 // heat of the wanted water above the cold water
	DeliveredJ        float64 // heat that came
	AtTemperatureJ    float64 // part of it warm enough to be of use
	// What ran off unused at the beginning of draws, until the tap was warm: its
	// litres, its heat above the cold water, and the time spent waiting in s.
	ColdLitres, ColdJ, WaitS float64
}

// shortShare is the part of the asked heat below which a draw counts as short.
const shortShare = 0.98

// New builds a house.
func New(c Config) (*House, error) {
	c, err := c.withDefaults()
	if err != nil {
		return nil, err
	}
	c.Start = c.Start.UTC()
	h := &House{config: c}
	fields := make([]weather.Field, 0, len(c.Systems))
	for _, s := range c.Systems {
		p, err := plant.New(s.Plant)
		if err != nil {
			return nil, fmt.Errorf("sim: system %q: %w", s.Name, err)
		}
		h.systems = append(h.systems, houseSystem{name: s.Name, plant: p, share: s.DrawShare})
		if c.DrawsInSeries {
			h.chain = append(h.chain, p)
		}
		fields = append(fields, weather.Field{Plane: s.Plane, Collector: s.Plant.Collector, Albedo: c.Albedo})
	}
	h.table, h.fields = weather.NewTable(c.Weather, fields, c.SkySlot), fields
	if c.Household != nil {
		if h.taps, err = household.NewTaps(c.Household, c.Start, c.Zone); err != nil {
			return nil, err
		}
	}
	h.lookUp() // probes and truth have a sky from the start
	for _, p := range c.Probes {
		if _, err := h.AddProbe(p); err != nil {
			return nil, err
		}
	}
	for _, f := range c.Faults {
		if err := h.AddFault(f); err != nil {
			return nil, err
		}
	}
	h.lookUp()
	return h, nil
}

// Step moves the house on. A step longer than MaxStep is made in equal parts;
// one of zero or less does nothing.
//
// The order is fixed: faults, sky, draws, plants. Pump and heater keep what
// they were told last.
func (h *House) Step(dt time.Duration) {
	if dt <= 0 {
		return
	}
	if dt > MaxStep {
		parts := (dt + MaxStep - 1) / MaxStep
		for range parts - 1 {
			h.step(dt / parts)
		}
		dt -= (parts - 1) * (dt / parts)
	}
	h.step(dt)
}

// Advance moves the house on to an elapsed time in steps of the configured
// size; the last one may be shorter. A time that is past does nothing.
func (h *House) Advance(to time.Duration) {
	for h.elapsed < to {
		h.step(min(h.config.StepSize, to-h.elapsed))
	}
}

func (h *House) step(dt time.Duration) {
	if h.elapsed >= h.skyEnds || h.elapsed >= h.faults.next {
		h.lookUp()
	}
	if h.tapped {
		h.closeTaps()
	}
	if h.taps != nil && !h.taps.Quiet(h.elapsed+dt) {
		if portions := h.taps.Between(h.elapsed, h.elapsed+dt); !h.broken.nobodyHome {
			h.draw(portions)
		}
	}
	if dt != h.lastStep {
		h.lastStep, h.lastStepS = dt, dt.Seconds()
	}
	for i := range h.systems {
		s := &h.systems[i]
		s.plant.Step(&s.around, h.lastStepS)
	}
	h.elapsed += dt
}

// lookUp brings faults and sky up to the elapsed time.
func (h *House) lookUp() {
	if h.elapsed >= h.faults.next {
		h.applyFaults()
	}
	if h.elapsed < h.skyEnds {
		return
	}
	now := h.Now()
	slot, ends := h.table.At(now)
	h.sky = slot.Sample
	h.skyEnds = h.elapsed + ends.Sub(now)
	h.coldC = h.config.Mains.TemperatureC(float64(now.YearDay()) + float64(now.Hour())/24)
	for i := range h.systems {
		s := &h.systems[i]
		s.light = slot.OnFields[i]
		s.around = plant.Surroundings{
			AbsorbableWM2: s.light.AbsorbableWM2,
			AirC:          h.sky.AirC,
			SkyDropK:      h.sky.SkyDropK,
			RoomC:         h.config.RoomC,
			ColdC:         h.coldC,
		}
	}
}

// closeTaps forgets what the last step has drawn.
func (h *House) closeTaps() {
	h.tapped, h.opened = false, false
	for i := range h.systems {
		h.systems[i].drawnL = 0
	}
}

func (h *House) draw(portions []household.Portion) {
	h.tapped = true
	for i := range portions {
		p := &portions[i]
		h.opened = h.opened || p.First
		waitS := 0.0
		if h.chain != nil {
			got := plant.TapSeries(h.chain, wanted(p, 1), h.coldC)
			for j := range h.systems {
				h.systems[j].drawnL += got.HotLitres + got.ColdLitres
			}
			waitS = h.take(p, got)
		}
		for j := range h.systems {
			s := &h.systems[j]
			if s.share == 0 || h.chain != nil {
				continue
			}
			got := s.plant.Tap(wanted(p, s.share), h.coldC)
			s.drawnL += got.HotLitres + got.ColdLitres
			waitS = max(waitS, h.take(p, got))
		}
		h.usage.WaitS += waitS
		if p.Last {
			h.usage.Draws++
			if p.Run.AtTemperatureJ < shortShare*p.Run.AskedJ {
				h.usage.ShortDraws++
			}
		}
	}
}

// wanted is a share of a portion as a plant's draw.
func wanted(p *household.Portion, share float64) plant.Draw {
	return plant.Draw{
		Litres: p.Litres * share, TapC: p.Run.TapC, UsefulC: p.Run.UsefulC,
		FlowLMin: p.Run.FlowLMin * share, LetRun: p.First,
	}
}

// take notes what came of a portion and returns the time it was waited for.
func (h *House) take(p *household.Portion, got plant.Drawn) (waitS float64) {
	h.usage.Litres += got.Litres
	h.usage.HotLitres += got.HotLitres
	h.usage.AskedJ += got.AskedJ
	h.usage.DeliveredJ += got.DeliveredJ
	h.usage.AtTemperatureJ += got.AtTemperatureJ
	h.usage.ColdLitres += got.ColdLitres
	h.usage.ColdJ += got.ColdJ
	p.Run.AskedJ += got.AskedJ
	p.Run.AtTemperatureJ += got.AtTemperatureJ
	return got.WaitS
}

// SetPump asks for a pump level, 0 to 1 (clamped), of the system with the
// index, counted from 0. Like all methods with an index it panics on one that
// does not exist.
func (h *House) SetPump(system int, level float64) { h.systems[system].plant.SetPump(level) }

// SetHeater asks for the heater of a system.
func (h *House) SetHeater(system int, on bool) { h.systems[system].plant.SetHeater(on) }

// SetCirculation asks for the circulation pump of a system's hot-water line.
func (h *House) SetCirculation(system int, on bool) { h.systems[system].plant.SetCirculation(on) }

// SetHeatDump asks for the valve of a system's heat dump.
func (h *House) SetHeatDump(system int, on bool) { h.systems[system].plant.SetHeatDump(on) }

// TopUpStore is a person filling up a system's store of loop fluid.
func (h *House) TopUpStore(system int) { h.systems[system].plant.TopUpStore() }

// RefillLoop is a person mending, venting and refilling a system's loop; false
// while its collector is too hot for it. See plant.Plant.RefillLoop.
func (h *House) RefillLoop(system int) bool { return h.systems[system].plant.RefillLoop() }

// ResetCutOut is a person resetting the heater's cut-out of a system.
func (h *House) ResetCutOut(system int) { h.systems[system].plant.ResetCutOut() }
