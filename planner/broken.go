package planner

import (
	"math"
	"time"
)

// Breakage is something of a plant that was destroyed. Nobody mends it in a
// simulation, so that what follows is not the year of that plant.
type Breakage struct {
	System int
	At     time.Time // to ten minutes, house time
	What   string    // such as "the collector burst by frost"
}

// FluidLoss is what the loop of a system has lost through relief valve, leak or
// burst.
type FluidLoss struct {
	System int
	Litres float64   // cold, the most there were
	First  time.Time // when more than littleFluidL were gone, house time
}

// FrostMargin is the moment at which a system's collector came closest to the
// freezing point that its fluid had then.
type FrostMargin struct {
	ColdestC, FreezingC float64
}

func (m FrostMargin) nearK() float64 { return m.ColdestC - m.FreezingC }

const (
	// truthEvery is how often the state of the plants is looked at; all of it
	// lasts: what has burst stays so, and ice needs longer than that.
	truthEvery = 10 * time.Minute
	// littleFluidL is a loss of fluid not worth a word (common practice, no
	// source): a loop that is bled loses as much.
	littleFluidL = 0.2
)

// wounds is what the plants of a run suffer, seen in their truth.
type wounds struct {
	zone    *time.Location
	known   [][kindsOfBreakage]bool // by system
	broken  []Breakage
	lost    []FluidLoss // by system
	margins []FrostMargin
}

// Kinds of breakage, as indices.
const (
	collectorBurst = iota
	elementBurnt
	tankBoiled
	kindsOfBreakage
)

var breakageWords = [kindsOfBreakage]string{
	collectorBurst: "the collector burst by frost",
	elementBurnt:   "the heater's element burnt out for want of water around it",
	tankBoiled:     "the tank boiled behind a relief valve that did not open, and tanks burst so",
}

func newWounds(r *Run) *wounds {
	n := r.House.Systems()
	w := &wounds{zone: r.site.Zone, known: make([][kindsOfBreakage]bool, n), lost: make([]FluidLoss, n), margins: make([]FrostMargin, n)}
	for i := range w.margins {
		w.margins[i].ColdestC = math.Inf(1)
	}
	return w
}

// look reads the plants' truth.
func (w *wounds) look(r *Run) {
	for i := range w.known {
		truth, tally := r.House.Truth(i), r.House.Tally(i)
		for kind, now := range [kindsOfBreakage]bool{
			collectorBurst: truth.Hazards.Burst, elementBurnt: tally.ElementsBurnt > 0, tankBoiled: truth.Hazards.TankBoiling,
		} {
			if now && !w.known[i][kind] {
				w.known[i][kind] = true
				w.broken = append(w.broken, Breakage{System: i, At: r.House.Now().In(w.zone), What: breakageWords[kind]})
			}
		}
		if l := &w.lost[i]; truth.FluidLostL > littleFluidL {
			if l.First.IsZero() {
				l.System, l.First = i, r.House.Now().In(w.zone)
			}
			l.Litres = max(l.Litres, truth.FluidLostL)
		}
		if m := (FrostMargin{truth.CollectorMinC, truth.FreezingC}); m.nearK() < w.margins[i].nearK() {
			w.margins[i] = m
		}
	}
}

// losses are those of the systems that have lost fluid.
func (w *wounds) losses() []FluidLoss {
	var out []FluidLoss
	for _, l := range w.lost {
		if l.Litres > 0 {
			out = append(out, l)
		}
	}
	return out
}

// crippled tells whether a year is that of a plant in pieces or without its
// fluid. It says nothing of the size that a sound one should have.
func (y *Year) crippled() bool { return len(y.Broken) > 0 || len(y.FluidLost) > 0 }

// brokenSentences tell what was destroyed and what fluid was lost, with dates;
// told right under the table.
func brokenSentences(r *Run, y *Year) []string {
	const form = "2 January 2006 at 15:04"
	var out []string
	for _, b := range y.Broken {
		out = append(out, text("Destroyed on %s, system %q: %s.", b.At.Format(form), r.site.Systems[b.System].Name, b.What))
	}
	for _, l := range y.FluidLost {
		out = append(out, text("Fluid lost from %s on, system %q: %.1f l in all.", l.First.Format(form), r.site.Systems[l.System].Name, l.Litres))
	}
	return out
}

// crippledSentence says what such a year is worth.
func crippledSentence(_ *Run, y *Year) string {
	if !y.crippled() {
		return ""
	}
	what := "Its loop lost fluid"
	if len(y.Broken) > 0 {
		what = "The plant was damaged for good"
	}
	return what + ", with the dates under the table. In a simulation nobody mends or refills anything: from then on these are not the figures of a sound plant, and say nothing of its size. Mend the cause first."
}
