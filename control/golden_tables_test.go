package control

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
)

// The tables of this package, as they are, in texts under testdata/tables: a
// figure that changes shows there, to whoever reads what has changed, and
// nowhere changes by mistake.

// holdTable holds lines against a kept text.
func holdTable(t *testing.T, name string, lines []string) {
	t.Helper()
	file := "testdata/tables/" + name + ".txt"
	kept, err := os.ReadFile(file)
	if err != nil && !(*update && errors.Is(err, os.ErrNotExist)) {
		t.Fatal(err)
	}
	holdGolden(t, file, string(kept), strings.Join(lines, "\n")+"\n")
}

func TestTableOfSettings(t *testing.T) {
	var lines []string
	for _, row := range SettingsTable() {
		lines = append(lines, fmt.Sprintf("%s: %s, %s, by default %s", row.Group, row.Name, row.Allowed(), row.DefaultText()))
	}
	holdTable(t, "settings", lines)
}

func TestTableOfFindings(t *testing.T) {
	about := map[About]string{AboutSystem: "system", AboutProbe: "probe", AboutOutput: "output"}
	var lines []string
	for _, k := range FindingKinds() {
		row := findingTable[k]
		lines = append(lines, fmt.Sprintf("%s: %s, of a %s, raised after %v, cleared after %v, %s", k, k.Urgency(), about[row.about], row.raiseAfter, row.clearAfter, k.Title()))
	}
	lines = append(lines, fmt.Sprintf("beyond the last: %s, urgency %s", numFindingKinds, AtOnce+1))
	holdTable(t, "findings", lines)
}

func TestTableOfPlaces(t *testing.T) {
	var lines []string
	for _, p := range Places() {
		l := placeLimits[p]
		lines = append(lines, fmt.Sprintf("%s: %g to %g, steps %g and %g a second, %s, of the house: %v, else %q",
			p, l.low, l.high, l.step, l.ratePerS, p.Unit().Format(1), p.OfHouse(), l.says.Key()))
	}
	for _, a := range Actuators() {
		lines = append(lines, fmt.Sprintf("%s: heats: %v", a, a.Heats()))
	}
	lines = append(lines, fmt.Sprintf("beyond the last: %s, %s, %s, %s", numPlaces, numActuators, Protect+1, Good+1))
	for r := Upkeep; r <= Protect; r++ {
		lines = append(lines, fmt.Sprintf("rank %d: %s", r, r))
	}
	for q := Missing; q <= Good; q++ {
		lines = append(lines, fmt.Sprintf("quality %d: %s", q, q))
	}
	holdTable(t, "places", lines)
}

// TestTableOfBorders: how long things may last that a person asks for, and how
// the effort of a heater is bounded.
func TestTableOfBorders(t *testing.T) {
	d := newDesk(t)
	var lines []string
	add := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	lengths := []time.Duration{-1, 0, time.Second, 4 * time.Hour, 4*time.Hour + 1, 24 * time.Hour, 24*time.Hour + 1, 90 * day, 90*day + 1}
	for _, length := range lengths {
		add("boost for %v: %v", length, d.c.Boost(0, length))
		add("holiday for %v: %v", length, d.c.Holiday(length))
		add("override for %v: %v", length, d.c.Override(outPump, 1, length))
	}
	for _, system := range []int{-1, 0, 1} {
		add("boost of system %d: %v", system, d.c.Boost(system, 0))
	}
	for _, output := range []int{-1, 0, 1, 2} {
		add("override of output %d: %v", output, d.c.Override(output, 1, 0))
	}
	for _, level := range []float64{-0.25, 0, 0.5, 1, 1.25} {
		add("override at level %g: %v", level, d.c.Override(outPump, level, 0))
	}
	for _, s := range []System{{}, {TankL: 300}, {HeaterW: 1000}, {TankL: 300, HeaterW: 3000}, {TankL: 30, HeaterW: 3000}, {TankL: 1, HeaterW: 1}} {
		add("%g l and %g W: a heater is locked after %v", s.TankL, s.HeaterW, budgetOf(&s))
	}
	for month := time.January; month <= time.December; month++ {
		wall := Wall{time.Date(2026, month, 15, 12, 0, 0, 0, time.UTC), true}
		add("%s: frost in the north %v, on the equator %v, in the south %v, without a clock %v", month,
			mayFreeze(wall, 45), mayFreeze(wall, 0), mayFreeze(wall, -45), mayFreeze(Wall{Time: wall.Time}, 45))
	}
	for _, a := range []int64{-86401, -86400, -1, 0, 1, 86399, 86400} {
		q, r := floorDiv(a, 86400)
		add("%d s since 1970: day %d, second %d", a, q, r)
	}
	for _, text := range []string{"00:00 to 24:00", "24:00 to 00:00", "00:00 to 24:01", "0:00 to 1:00", "00:59 to 00:60", "1:5 to 2:00", "001:00 to 2:00", "05:00 - 07:00", "23:00 to 01:00",
		halfHours(24), halfHours(25)} {
		w, err := ParseWindows(text)
		add("windows %.40q: %.40s, %v; at 00:00 %v, at 05:00 %v, at 06:00 %v, at 23:59 %v", text, w, err, w.Contain(0), w.Contain(300), w.Contain(360), w.Contain(1439))
	}
	for _, w := range []Windows{nil, {{300, 300}}, {{0, 1440}}, {{0, 1439}}, {{1, 1440}}, {{0, 1440}, {0, 1440}}, {{300, 301}}, {{301, 300}}} {
		add("windows %v: %s, always %v; at 04:59 %v, at 05:00 %v, at 05:01 %v, at 23:59 %v", []Window(w), w, w.Always(), w.Contain(299), w.Contain(300), w.Contain(301), w.Contain(1439))
	}
	for _, version := range []int{0, 1, 2} {
		add("state of version %d: %v", version, d.c.RestoreState(fmt.Appendf(nil, `{"version":%d}`, version)))
	}
	for _, litres := range []float64{0, 1, 200} {
		d := newDesk(t, func(p *Plan) { p.Systems[0].TankL = litres })
		d.settled()
		left, known := d.c.HotLitres(0)
		add("hot litres in a tank of %g l: %.2f, known %v", litres, left, known)
	}
	for _, heat := range []float64{0, 1, 3800} {
		add("loop fluid of %g J/(l K): %g", heat, (&System{LoopHeatJLK: heat}).loopHeatJLK())
	}
	for _, places := range [][]Place{{}, {TankTop}, {TankBottom}, {TankTop, TankBottom}, {LoopFlow}, {CoilReturn}, {LoopFlow, CoilReturn}, {LoopFlow, Collector}, {CoilReturn, Collector},
		{LoopFlow, CoilReturn, Collector}, {TankTop, Collector}, {TankBottom, LoopFlow, CoilReturn}} {
		for _, litres := range []float64{0, 1} {
			p := testPlan(1, func(p *Plan) { p.Probes, p.Outputs, p.Systems[0].TankL = nil, nil, litres })
			for _, place := range places {
				p.Probes = append(p.Probes, Probe{0, place})
			}
			c, err := New(p)
			if err != nil {
				t.Fatal(err)
			}
			add("heat is counted with %v and a tank of %g l: %v", places, litres, c.CountsHeat(0))
		}
	}
	holdTable(t, "borders", lines)
}

// TestTableOfContradictions moves each setting through its range and says from
// where on it contradicts the others, which stand at their defaults or at those
// of a house that uses what is usually not used.
func TestTableOfContradictions(t *testing.T) {
	all := DefaultSettings()
	all.OffPeakWindows, all.NightCoolingC = Windows{{0, 60}}, 75
	none := DefaultSettings()
	none.HygieneInterval = 0
	always := DefaultSettings()
	always.HygieneInterval = time.Second
	var lines []string
	for _, house := range []struct {
		name string
		set  Settings
	}{{"by default", DefaultSettings()}, {"with off-peak heating and night cooling", all}, {"without hygiene", none}, {"with hygiene all the time", always}} {
		for _, row := range SettingsTable() {
			if row.IsWindows() {
				continue
			}
			steps := (row.Max - row.Min) / 0.5
			for steps > 400 {
				steps /= 10
			}
			was := ""
			for n := range int(steps) + 1 {
				v := row.Min + (row.Max-row.Min)*float64(n)/steps
				set := house.set
				switch f := row.field(&set).(type) {
				case *time.Duration:
					*f = time.Duration(v * float64(time.Second))
				case *float64:
					*f = v
				}
				is, says := "", ""
				for _, p := range set.Check() {
					is += p.Setting + p.Do
					says += "; " + p.String()
				}
				if is != was {
					lines = append(lines, fmt.Sprintf("%s, %s from %s on: %s", house.name, row.Name, row.Unit.Format(v), strings.TrimPrefix(cmp.Or(says, "; agrees"), "; ")))
				}
				was = is
			}
		}
	}
	holdTable(t, "contradictions", lines)
}

// TestTableOfSavedFigures says within which borders a saved state's figures are
// taken up.
func TestTableOfSavedFigures(t *testing.T) {
	var st State
	if err := json.Unmarshal(troubledState(t), &st); err != nil {
		t.Fatal(err)
	}
	spans := []time.Duration{-1, 0, burstsInVain, burstsInVain + 1, LongestBoost, LongestBoost + 1, LongestOverride, LongestOverride + 1, LongestHoliday, LongestHoliday + 1, longestSpan, longestSpan + time.Hour, longestSpan + 1}
	figures := []float64{-1e16, -1.2e15, -1e15, -1.2e5, -1e5, -1001, -1000, -0.25, 0, 1, 1.25, mostPowerUps, mostPowerUps + 0.5, 1000, 1001, 1e5, 1.2e5, 1e15, 1.2e15, 1e16}
	var lines []string
	seen := map[string]bool{}
	try := func(name string, f reflect.Value) {
		if seen[name] {
			return
		}
		seen[name] = true
		was := reflect.New(f.Type()).Elem()
		was.Set(f)
		var low, high, bad string
		values := reflect.ValueOf(figures)
		if f.Kind() != reflect.Float64 {
			values = reflect.ValueOf(spans)
		}
		for i := range values.Len() {
			f.Set(values.Index(i).Convert(f.Type()))
			if err := st.check(); err != nil {
				bad = err.Error()
				continue
			}
			high = plainly(f)
			low = cmp.Or(low, high)
		}
		f.Set(was)
		lines = append(lines, fmt.Sprintf("%s: from %s to %s, else %q", name, low, high, bad))
	}
	eachFigure(reflect.ValueOf(&st).Elem(), "", try)
	slices.Sort(lines)
	holdTable(t, "saved-figures", lines)
}

// eachFigure walks all spans and figures of a value, by their JSON names; of a
// list its first entry.
func eachFigure(v reflect.Value, name string, do func(string, reflect.Value)) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			own, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			eachFigure(v.Field(i), strings.Trim(name+" "+strings.TrimSuffix(own, "_ns"), " "), do)
		}
	case reflect.Slice, reflect.Array:
		if v.Len() > 0 {
			eachFigure(v.Index(0), name, do)
		}
	case reflect.Float64, reflect.Int64, reflect.Int:
		do(name, v)
	}
}

// TestTableOfImpossiblePlans says what is wrong with houses that can't be.
func TestTableOfImpossiblePlans(t *testing.T) {
	var lines []string
	try := func(name string, change change) {
		_, err := New(testPlan(2, change))
		text := "can be"
		if err != nil {
			text = strings.ReplaceAll(err.Error(), "\n", "; ")
		}
		lines = append(lines, name+": "+text)
	}
	for _, system := range []int{House - 1, House, 0, 1, 2} {
		for _, place := range []Place{TankTop, OutdoorAir, numPlaces} {
			try(fmt.Sprintf("one more %s reading of system %d", place.Words(), system), func(p *Plan) {
				p.Probes = append(p.Probes, Probe{system, place})
			})
			try(fmt.Sprintf("only a %s reading of system %d", place.Words(), system), func(p *Plan) {
				p.Probes, p.Outputs = []Probe{{system, place}}, nil
			})
		}
		for _, a := range append(Actuators(), numActuators) {
			try(fmt.Sprintf("one more %s of system %d", a.Words(), system), func(p *Plan) {
				p.Outputs = append(p.Outputs, Output{System: system, Actuator: a})
			})
		}
	}
	for _, level := range []float64{-0.25, 0, 0.5, 1, 1.25} {
		try(fmt.Sprintf("a least level of %g", level), func(p *Plan) { p.Outputs[0].LeastLevel = level })
		try(fmt.Sprintf("a supply of %g W", level), func(p *Plan) { p.SupplyW = level })
	}
	for _, places := range [][]Place{nil, {Collector}, {TankTop}, {TankBottom}, {Collector, TankTop}, {Collector, TankBottom}, {TankTop, TankBottom}} {
		for _, a := range Actuators() {
			var names []string
			for _, place := range places {
				names = append(names, place.Words())
			}
			try(fmt.Sprintf("a %s with readings of [%s]", a.Words(), strings.Join(names, ", ")), func(p *Plan) {
				p.Probes, p.Outputs = nil, []Output{{System: 0, Actuator: a}}
				for _, place := range places {
					p.Probes = append(p.Probes, Probe{0, place})
				}
			})
			try(fmt.Sprintf("a loop pump and a %s with readings of [%s]", a.Words(), strings.Join(names, ", ")), func(p *Plan) {
				p.Probes, p.Outputs = nil, []Output{{System: 0, Actuator: LoopPump}, {System: 0, Actuator: a}}
				for _, place := range places {
					p.Probes = append(p.Probes, Probe{0, place})
				}
			})
		}
	}
	try("no systems", func(p *Plan) { p.Systems, p.Probes, p.Outputs = nil, nil, nil })
	try("two systems of one name", func(p *Plan) { p.Systems[1].Name = "roof" })
	try("a system without a name", func(p *Plan) { p.Systems[1].Name = "" })
	holdTable(t, "impossible-plans", lines)
}

// TestTableOfNeighbours says which reading's movement proves that another one
// should move, by the plant.
func TestTableOfNeighbours(t *testing.T) {
	var lines []string
	for _, house := range []string{"glycol", "no outdoor air", "no tank bottom", "natural circulation", "two systems", "loop meter, draw meter, tap probe"} {
		var s story
		if err := s.orderHouse(house); err != nil {
			t.Fatal(err)
		}
		c, err := New(s.plan)
		if err != nil {
			t.Fatal(err)
		}
		for i, pr := range s.plan.Probes {
			line := fmt.Sprintf("%s: %s of system %d", house, pr.Place, pr.System)
			for k := range s.plan.Probes {
				if c.watches[i].neighbour == &c.out.Readings[k] {
					line += fmt.Sprintf(", by %s of system %d", s.plan.Probes[k].Place, s.plan.Probes[k].System)
				}
			}
			for k := range s.plan.Outputs {
				if c.watches[i].mover == &c.st.Outputs[k] {
					line += fmt.Sprintf(", while the %s of system %d runs", s.plan.Outputs[k].Actuator.Words(), s.plan.Outputs[k].System)
				}
			}
			lines = append(lines, line)
		}
		for i := range s.plan.Systems {
			lines = append(lines, fmt.Sprintf("%s: heat of system %d is counted: %v", house, i, c.CountsHeat(i)))
		}
	}
	holdTable(t, "neighbours", lines)
}

// TestFindingsAreSavedAndRestored: what is saved is taken up again, in the same
// words; what is of no such house is dropped.
func TestFindingsAreSavedAndRestored(t *testing.T) {
	saved := troubledState(t)
	d := newDesk(t, tempered)
	if err := d.c.RestoreState(saved); err != nil {
		t.Fatal(err)
	}
	again, err := d.c.SaveState()
	if err != nil || !bytes.Equal(saved, again) {
		t.Errorf("%v\n%s\n%s", err, saved, again)
	}
	var st State
	if err := json.Unmarshal(saved, &st); err != nil {
		t.Fatal(err)
	}
	if len(st.Findings) == 0 {
		t.Fatal("nothing was found")
	}
	for i := range st.Findings {
		switch i % 3 {
		case 0:
			st.Findings[i].Kind = "no_such_kind"
		case 1:
			st.Findings[i].System = "elsewhere"
		default:
			st.Findings[i].Part = "nowhere"
		}
	}
	strange, err := json.Marshal(st)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.c.RestoreState(strange); err != nil {
		t.Fatal(err)
	}
	if n := len(d.c.findings.live); n != 0 {
		t.Errorf("%d findings of another house were taken up", n)
	}
}

// halfHours is so many windows, a half hour each, from midnight on.
func halfHours(n int) string {
	var w Windows
	for i := range n {
		w = append(w, Window{i * 50, i*50 + 30})
	}
	return w.String()
}
