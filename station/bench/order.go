package bench

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/sim/household"
)

// orders are what can be ordered beside faults. Each takes the words behind its
// name and says what it has done.
var orders = []struct {
	name, form, meaning string
	obey                func(p *Plant, rest string) (string, error)
}{
	{"repair", "repair all, or repair NAME", "ends faults; all also mends what only a person could", (*Plant).repair},
	{"sky", "sky clear, sky overcast, or sky cover 40 %", "other clouds from now on", (*Plant).cloud},
	{"air", "air -5 °C", "other air outdoors from now on", (*Plant).air},
	{"draw", "draw 8 l/min at 40 °C for 5m", "somebody opens a tap; 40 °C when not given", (*Plant).draw},
	{"press", "press", "somebody presses the hot-water button for 5 s", (*Plant).press},
	{"bus", "bus hangs, or bus answers", "whoever reads a probe waits until it answers", (*Plant).hang},
}

// boardOrders are about the board that the daemon runs on. A bench is none; a trial
// can be, see package trial.
var boardOrders = []struct {
	name, form, meaning string
	obey                func(p *Plant, rest string) (string, error)
}{
	{"storage", "storage full, storage read-only, storage tears writes, storage fails, or storage well", "what becomes of what the daemon saves", (*Plant).storage},
	{"clock", "clock wrong amount -87600, or another fault of the clock, or clock right", "its wall clock, by hours", (*Plant).clock},
	{"guard", "guard dies, or guard dies for 30s", "nothing is driven until it is back, after 2 s when not given", (*Plant).guardDies},
}

// Help says how orders are written, one per line.
func Help() string {
	var b strings.Builder
	fmt.Fprintln(&b, "NAME [amount NUMBER] [system NAME] [probe PLACE] [at TIME] [for TIME]: a fault, as for simulate; times count from now")
	for _, o := range orders {
		fmt.Fprintf(&b, "%s: %s\n", o.form, o.meaning)
	}
	return b.String()
}

// BoardHelp says how orders are written that are about the daemon's board.
func BoardHelp() string {
	var b strings.Builder
	for _, o := range boardOrders {
		fmt.Fprintf(&b, "%s: %s\n", o.form, o.meaning)
	}
	return b.String()
}

// OrderBoard does what the words of a person say to a board that is simulated with
// the plant: see [Plant.StorageFault], [Plant.Clock] and [Plant.Guarded]. An error says how
// to write it.
func (p *Plant) OrderBoard(text string) (told string, err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	name, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	for _, o := range boardOrders {
		if strings.EqualFold(name, o.name) {
			if told, err = o.obey(p, strings.TrimSpace(rest)); err != nil {
				return "", fmt.Errorf("%w; write %s", err, o.form)
			}
			return told, nil
		}
	}
	return "", fmt.Errorf("%q is nothing that a simulated board does; write one of:\n%s", text, BoardHelp())
}

// Order does what the words of a person say and tells what was done. An error
// says how to write it; the plant is as it was then.
func (p *Plant) Order(text string) (told string, err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	name, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	for _, o := range orders {
		if strings.EqualFold(name, o.name) {
			if told, err = o.obey(p, strings.TrimSpace(rest)); err != nil {
				return "", fmt.Errorf("%w; write %s", err, o.form)
			}
			return told, nil
		}
	}
	return p.throw(text)
}

func (p *Plant) throw(text string) (string, error) {
	if TouchesBoard(text) {
		return "", fmt.Errorf("%s: that is the board of the daemon itself, which a bench of probes and outputs cannot break", text)
	}
	return p.throwAny(text)
}

func (p *Plant) throwAny(text string) (string, error) {
	f, err := p.house.ParseFault(text)
	if err != nil {
		return "", err
	}
	f.Start += p.house.Elapsed()
	if err := p.house.AddFault(f); err != nil {
		return "", err
	}
	if f.Duration == 0 {
		return f.Name + ": for good", nil
	}
	return fmt.Sprintf("%s: for %v", f.Name, f.Duration), nil
}

// TouchesBoard tells of an order that is about the daemon or the board that it runs
// on, and not about the house.
func TouchesBoard(text string) bool {
	name, _, _ := strings.Cut(strings.TrimSpace(text), " ")
	return slices.ContainsFunc([]string{"clock", "storage", "board", "daemon", "guard"}, func(part string) bool { return strings.EqualFold(name, part) })
}

func (p *Plant) repair(what string) (string, error) {
	if what != "all" {
		if p.house.EndFaults(what) == 0 {
			return "", fmt.Errorf("there is no fault %q to repair", what)
		}
		return what + ": repaired", nil
	}
	p.house.ClearFaults()
	p.storageFails = false
	for i := range p.house.Systems() {
		p.house.ResetCutOut(i)
		p.house.RefillLoop(i) // refused while the collector is too hot for it, as on a roof
		p.house.TopUpStore(i)
	}
	return "all is repaired", nil
}

func (p *Plant) cloud(what string) (string, error) {
	sky := p.sky
	switch share, given := strings.CutPrefix(what, "cover "); {
	case what == "clear":
		sky.Cover = 0
	case what == "overcast":
		sky.Cover = 1
	case given:
		percent, err := control.Percent.Parse(share)
		if err != nil {
			return "", err
		}
		sky.Cover = percent / 100
	default:
		return "", fmt.Errorf("%q is no sky", what)
	}
	return p.setSky(sky)
}

func (p *Plant) air(what string) (string, error) {
	airC, err := control.Celsius.Parse(what)
	if err != nil {
		return "", err
	}
	sky := p.sky
	sky.AirC = airC
	return p.setSky(sky)
}

func (p *Plant) setSky(sky Sky) (string, error) {
	source, err := sky.source(p.place)
	if err != nil {
		return "", err
	}
	p.sky = sky
	p.house.SetWeather(source)
	return fmt.Sprintf("cloud %.0f %%, air %.1f °C", 100*sky.Cover, sky.AirC), nil
}

func (p *Plant) draw(what string) (string, error) {
	d := household.Draw{TapC: 40}
	flow, rest, _ := strings.Cut(what, " for ")
	span, err := time.ParseDuration(strings.TrimSpace(rest))
	if err != nil {
		return "", errors.New("for how long?")
	}
	d.For = span
	flow, tap, given := strings.Cut(flow, " at ")
	if given {
		if d.TapC, err = control.Celsius.Parse(tap); err != nil {
			return "", err
		}
	}
	if d.FlowLMin, err = control.LitrePerMin.Parse(flow); err != nil {
		return "", err
	}
	d.UsefulC = d.TapC - 2
	if err := p.house.OpenTap(d); err != nil {
		return "", err
	}
	return fmt.Sprintf("a tap runs with %g l/min for %v", d.FlowLMin, d.For), nil
}

func (p *Plant) press(what string) (string, error) {
	if what != "" {
		return "", fmt.Errorf("%q is too much", what)
	}
	for i := range p.site.Probes {
		if p.site.Probes[i].Place == control.CirculationButton {
			p.pressed = p.house.Elapsed() + pressFor
			return "the button is held down", nil
		}
	}
	return "", errors.New("the house has no hot-water button")
}

func (p *Plant) hang(what string) (string, error) {
	switch {
	case what == "hangs" && p.hung < 0:
		p.hung = p.house.Elapsed()
	case what == "answers":
		p.hung = -1
	case what != "hangs":
		return "", fmt.Errorf("%q is nothing that a bus does", what)
	}
	return "the bus " + what, nil
}
