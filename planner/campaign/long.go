package campaign

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"time"

	"sunstoker/control"
	"sunstoker/planner"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/noise"
	"sunstoker/sim/weather"
	"sunstoker/site/twin"
)

// LongRun is what came of many plant-years of seeded weather, draws and faults.
type LongRun struct {
	Years  int
	Faults int
	// Found counts findings that were raised, and Told the faults in whose time,
	// or in the day after, one was.
	Found, Told int
	// Times counts how often each severe hazard began, and Sum what each came to
	// in its own unit.
	Times [numHazards]int
	Sum   [numHazards]float64
	// Silent counts those hazards in whose time nothing stood, and nothing was
	// raised within half a day.
	Silent [numHazards]int
	Hash   [sha256.Size]byte // of the log
}

// longStep is the step of the long run: the longest that a run takes.
const longStep = planner.LongestStep

// Years runs plant-years, each in a house of the campaign in turn, with weather,
// people and faults drawn by the seed; every fault is repaired in the end. The
// log, which tells every fault, finding and hazard with its time, goes to log,
// which may be nil. The same seed and number give the same log to the last byte.
func Years(ctx context.Context, houses []*House, seed uint64, years int, log io.Writer, progress func(done, all int)) (*LongRun, error) {
	all := make([]plantYear, years)
	err := onAllCores(ctx, years, func(i int) error {
		all[i] = plantYear{number: i, house: houses[i%len(houses)], seed: noise.DeriveN(noise.Derive(seed, "years"), int64(i))}
		return all[i].live(ctx)
	}, progress)
	if err != nil {
		return nil, err
	}
	total, hash := &LongRun{Years: years}, sha256.New()
	for i := range all {
		y := &all[i]
		total.Faults += len(y.faults)
		total.Found += y.found
		total.Told += y.told
		for h := range numHazards {
			total.Times[h] += y.times[h]
			total.Sum[h] += y.watch.harm.Amount[h]
			total.Silent[h] += y.silent[h]
		}
		hash.Write(y.log.Bytes())
		if log != nil {
			if _, err := log.Write(y.log.Bytes()); err != nil {
				return nil, err
			}
		}
	}
	hash.Sum(total.Hash[:0])
	return total, nil
}

// plantYear is one year of one house.
type plantYear struct {
	number int
	house  *House
	seed   uint64

	run     *planner.Run
	watch   *watch
	faults  []sim.Fault
	log     bytes.Buffer
	found   int
	told    int
	times   [numHazards]int
	raised  map[string]bool
	heard   []bool // of each fault
	before  [numHazards]float64
	within  [numHazards]bool
	broken  bool                      // since a person last said that all is mended
	unheard [numHazards]time.Duration // when a hazard began that nothing has told of; 0: none
	silent  [numHazards]int
}

const oneYear = 365 * day

// live plays the year.
func (y *plantYear) live(ctx context.Context) error {
	config, err := y.config()
	if err != nil {
		return err
	}
	if y.run, err = planner.RunIn(y.house.site, config); err != nil {
		return err
	}
	y.watch = newWatch(y.run, &y.house.site.Plan, longStep)
	y.watch.begin()
	y.raised, y.heard = map[string]bool{}, make([]bool, len(y.faults))
	y.say("year %d in %s", y.number, y.house.Name)
	care := time.Duration(0)
	for now := time.Duration(0); now < oneYear; now = y.run.House.Elapsed() {
		if now >= care {
			if err := ctx.Err(); err != nil {
				return err
			}
			care = now + 6*time.Hour
			y.care()
		}
		y.begin(now)
		if out := y.run.Step(); out != nil && (len(out.Findings) > 0 || len(y.raised) > 0) {
			y.listen(out, now)
		}
		y.watch.look()
		y.look(now)
	}
	y.end()
	return nil
}

// config is the house with the year's weather, people and faults.
func (y *plantYear) config() (sim.Config, error) {
	s := y.house.site
	start := time.Date(2026, 1, 1, 0, 0, 0, 0, s.Zone)
	place := weather.Place{LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, AltitudeM: s.AltitudeM}
	climate := weather.UsualClimate(place)
	climate.ColdestNightC = y.house.coldNightC
	w, err := weather.Generate(place, climate, weather.SeedsFrom(y.seed), start.AddDate(0, 0, -1), 367)
	if err != nil {
		return sim.Config{}, err
	}
	c, err := twin.Config(s, twin.Options{Weather: w, Start: start, Step: longStep, Seed: y.seed})
	if err != nil {
		return c, err
	}
	random := noise.NewStream(noise.Derive(y.seed, "life"))
	c.Household = household.People{
		Persons: 1 + float64(int(random.Float64()*5)), LitresAt60: random.Between(25, 55), Seed: y.seed,
		Holidays: []household.Span{holiday(&random)},
	}
	c.SkySlot = 5 * time.Minute
	y.drawFaults(&random, &c)
	c.Faults = y.faults
	return c, nil
}

func holiday(random *noise.Stream) household.Span {
	first := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(random.Float64()*90))
	return household.Span{First: household.DateOf(first), Last: household.DateOf(first.AddDate(0, 0, 14))}
}

// drawFaults draws some ten faults, hours to weeks long, which may overlap.
func (y *plantYear) drawFaults(random *noise.Stream, c *sim.Config) {
	var could []Switch
	for i := range failures {
		for _, s := range failures[i].Switches {
			if !s.Hangs && s.Step == 0 && s.Person == Nothing { // those need more than the simulated house
				could = append(could, s)
			}
		}
	}
	for range 6 + int(random.Float64()*8) {
		s := could[int(random.Float64()*float64(len(could)))]
		start := time.Duration(random.Float64() * float64(oneYear-30*day)).Round(time.Minute)
		lasts := time.Duration(random.Between(0.2, 12) * float64(day)).Round(time.Minute)
		if faults, fits := y.house.faults(s, c, start, lasts); fits {
			y.faults = append(y.faults, faults...)
		}
	}
}

func (y *plantYear) say(format string, values ...any) { fmt.Fprintf(&y.log, format+"\n", values...) }

// begin tells of faults that begin and end in this step.
func (y *plantYear) begin(now time.Duration) {
	for i := range y.faults {
		f := &y.faults[i]
		if f.Start >= now && f.Start < now+longStep {
			y.say("%v fault begins: %s %s", now, f.Name, f.Probe)
		}
		if ends := f.Start + f.Duration; ends >= now && ends < now+longStep {
			y.say("%v fault ends: %s %s", now, f.Name, f.Probe)
		}
	}
}

// listen tells of findings that are raised and cleared.
func (y *plantYear) listen(out *control.Outcome, now time.Duration) {
	seen := map[string]bool{}
	for i := range out.Findings {
		key := out.Findings[i].Kind.String()
		seen[key] = true
		if y.raised[key] {
			continue
		}
		y.raised[key] = true
		y.found++
		y.unheard = [numHazards]time.Duration{}
		y.say("%v finding: %s: %s", now, key, out.Findings[i].Evidence)
		for k := range y.faults {
			f := &y.faults[k]
			if !y.heard[k] && now >= f.Start && now <= f.Start+f.Duration+day {
				y.heard[k] = true
				y.told++
			}
		}
	}
	for _, kind := range control.FindingKinds() {
		if key := kind.String(); y.raised[key] && !seen[key] {
			delete(y.raised, key)
			y.say("%v cleared: %s", now, key)
		}
	}
}

// look tells of hazards that begin and end.
func (y *plantYear) look(now time.Duration) {
	for h := range numHazards {
		amount := y.watch.harm.Amount[h]
		is := amount != y.before[h]
		if is != y.within[h] && h.Severe() {
			y.within[h] = is
			if is {
				y.times[h]++
				y.say("%v hazard: %s", now, h)
				if len(y.raised) == 0 {
					y.unheard[h] = now
				}
			}
		}
		y.before[h] = amount
		if y.unheard[h] > 0 && now-y.unheard[h] > patience {
			y.unheard[h] = 0
			y.silent[h]++
			y.say("%v nothing tells of it: %s", now, h)
		}
	}
}

// patience is how long a hazard may go untold.
const patience = 12 * time.Hour

// care is the person who looks after the plant four times a day, once a fault
// has ended: resets, refills, tops up, and says once that all is mended, so that
// what is still wrong must be found anew.
func (y *plantYear) care() {
	if len(y.run.House.ActiveFaults(nil)) > 0 {
		y.broken = true
		return
	}
	repair(y.run.House, len(y.house.site.Systems))
	if y.broken {
		y.broken = false
		saysMended(y.run.Controller)
	}
}

// end tells what the year came to.
func (y *plantYear) end() {
	for i := range y.house.site.Systems {
		b, t := y.run.House.Book(i), y.run.House.Tally(i)
		y.say("sun %.3f kWh, meter %.3f kWh, drawn %.3f kWh, out of book %.3g kWh, pump %.1f h in %d starts, heater %.1f h in %d starts",
			b.LoopToTankJ/joulesPerKWh, b.HeaterJ/joulesPerKWh, b.DrawnJ/joulesPerKWh, b.ImbalanceJ()/joulesPerKWh,
			t.PumpS/3600, t.PumpStarts, t.HeaterS/3600, t.HeaterStarts)
	}
}
