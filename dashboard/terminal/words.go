package terminal

import (
	"fmt"
	"math"
	"time"

	"sunstoker/dashboard"
	"sunstoker/planner/paper"
)

// waterWord says how hot water is to people. Its borders, in °C, are those of the
// page: common practice, no source.
func waterWord(tempC float64) string {
	for _, up := range []struct {
		toC  float64
		word string
	}{{30, "cold"}, {38, "lukewarm"}, {45, "warm"}, {60, "hot"}} {
		if tempC < up.toC {
			return up.word
		}
	}
	return "very hot"
}

const (
	scaldingFromC = 50 // tank top from which the picture warns, as the page does
	showerLitres  = 45 // at the tap temperature: five to six minutes at 8 l/min. Common practice, no source.
)

// scalding as the page has it: at 60 °C adult skin burns within seconds (Moritz and
// Henriques 1947, as tabulated second-hand).
const scalding = "Scalding danger: water this hot burns skin within seconds, children's faster. Mix it, and feel it before anybody bathes."

// litresLeft says how much hot water is left.
func litresLeft(s *dashboard.System) string {
	if s.HotLitres == nil {
		return "How much hot water is left is not known."
	}
	litres := math.Floor(*s.HotLitres)
	if litres < 1 {
		return fmt.Sprintf("No water at %g °C is left.", s.TapC)
	}
	return fmt.Sprintf("%s at %g °C, enough for %s.", counted(int(litres), "litre"), s.TapC, showers(int(litres/showerLitres)))
}

func showers(n int) string {
	if n == 0 {
		return "no shower"
	}
	return counted(n, "shower")
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// heating says what heats the tank.
func heating(sun, meter string) string {
	switch {
	case sun == "yes" && meter == "yes":
		return "The sun and the backup heater are heating the water."
	case sun == "yes" && meter == "no":
		return "The sun is heating the water."
	case sun == "yes":
		return "The sun is heating the water; whether the backup heater does is not known."
	case sun == "no" && meter == "yes":
		return "The backup heater is heating the water, with electricity from the meter."
	case meter == "yes":
		return "The backup heater is heating the water; whether the sun helps is not known."
	case sun == "no" && meter == "no":
		return "Nothing is heating the water just now."
	}
	return "What is heating the water is not known just now."
}

// outputSays says what an output does, and why.
func outputSays(o *dashboard.Output) string {
	name := paper.Capital(o.Words)
	if o.Fault != "" {
		return fmt.Sprintf("%s can't be switched: %s. Do not rely on what is told of it; use its isolator.", name, o.Fault)
	}
	return paper.Sentence(fmt.Sprintf("%s %s: %s", name, levelWords(o), o.Reason.Text))
}

func levelWords(o *dashboard.Output) string {
	switch {
	case o.LevelRatio <= 0:
		return "off"
	case o.LevelRatio >= 1:
		return "on"
	}
	return fmt.Sprintf("at %.0f %%", 100*o.LevelRatio)
}

// headline says what is wrong in a line.
func headline(f *dashboard.Finding, several bool) string {
	words, between := f.Title, ": "
	if f.About != "" {
		words += between + f.About
		between = ", "
	}
	if several && f.System != "" {
		words += between + f.System
	}
	return words
}

func urgencyWords(urgency string) string {
	switch urgency {
	case "at_once":
		return "ACT AT ONCE"
	case "soon":
		return "soon"
	}
	return "good to know"
}

// banner says what stands in the way of showing the house as it is now.
func banner(v view) string {
	again := " It is tried again by itself."
	switch v.line {
	case waiting:
		return "The daemon has just been started. First readings come in a moment."
	case old:
		return fmt.Sprintf("The daemon has not reported for %s. If this stays, look at the board; do not rely on pump or heater being off.", span(v.age))
	case lost:
		if v.now == nil {
			return v.trouble + again
		}
		return fmt.Sprintf("The line is lost; what is shown is %s old. %s%s", span(v.age), v.trouble, again)
	case connecting:
		return "Connecting …"
	}
	return ""
}

// span is a length of time, rounded up as sentences of the controller are.
func span(d time.Duration) string {
	switch s := d.Seconds(); {
	case s < 90:
		return fmt.Sprintf("%.0f s", math.Ceil(s))
	case s < 90*60:
		return fmt.Sprintf("%.0f min", math.Ceil(s/60))
	case s < 72*3600:
		return fmt.Sprintf("%.1f h", s/3600)
	}
	return fmt.Sprintf("%.0f days", d.Hours()/24)
}

const clockUnset = "clock not set"

// clock is the house's own time.
func clock(now *dashboard.Now) string {
	if !now.Wall.Trusted {
		return clockUnset
	}
	return now.Wall.Local.Format("15:04")
}

// reading gives a good value at a place of a system.
func reading(s *dashboard.System, place string) (value float64, good bool) {
	for i := range s.Readings {
		if r := &s.Readings[i]; r.Place == place && r.Quality == "good" && r.Value != nil {
			return *r.Value, true
		}
	}
	return 0, false
}
