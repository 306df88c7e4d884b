package sizing

import (
	"fmt"

	"sunstoker/control"
	"sunstoker/sim/household"
	"sunstoker/site"
)

// option is one way to fit the house out: alike systems side by side.
type option struct {
	loop     control.Loop
	systems  int
	tankL    float64 // of each system
	modules  int     // collectors of each system
	moduleM2 float64
}

// What is worth trying. Common practice, no source.
const (
	leastTankLPerM2 = 40 // smaller tanks boil off much of a summer
	mostTankLPerM2  = 160
	leastDays       = 0.6 // of hot water in all tanks, at 60 °C
	mostDays        = 3
	mostOptions     = 60
)

// planningHotC and planningColdC are what litres a day are counted between.
const (
	planningHotC  = 60
	planningColdC = 10
)

// areaM2 is the collector area of each system.
func (o *option) areaM2() float64 { return float64(o.modules) * o.moduleM2 }

func (o *option) natural() bool { return o.loop == control.Natural }

// loopWords is how the fluid moves.
func (o *option) loopWords() string {
	if o.natural() {
		return "natural"
	}
	return "pumped"
}

// tanksWords is such as "2 x 300 l".
func (o *option) tanksWords() string {
	if o.systems == 1 {
		return fmt.Sprintf("%g l", o.tankL)
	}
	return fmt.Sprintf("%d x %g l", o.systems, o.tankL)
}

// areaWords is such as "2 x 4 m²".
func (o *option) areaWords() string {
	if o.systems == 1 {
		return fmt.Sprintf("%g m²", o.areaM2())
	}
	return fmt.Sprintf("%d x %g m²", o.systems, o.areaM2())
}

// words is the option in a few words.
func (o *option) words() string {
	loop := "a pumped loop"
	if o.natural() {
		loop = "natural circulation"
	}
	return fmt.Sprintf("%s with %s of collectors and %s", o.tanksWords(), o.areaWords(), loop)
}

// optionsOf lists what is worth trying in a house, pumped loops first, then by
// tanks and area. An error says why there is nothing, or too much.
func optionsOf(w *site.Wish) ([]option, error) {
	dayL, err := litresADay(w.House)
	if err != nil {
		return nil, err
	}
	var out []option
	for _, loop := range loopsOf(&w.Choices) {
		for systems := 1; systems <= w.Choices.MostSystems; systems++ {
			for _, tankL := range w.Choices.TanksL {
				if all := float64(systems) * tankL; all < leastDays*dayL || all > mostDays*dayL {
					continue
				}
				out = append(out, fieldsOf(w, option{loop: loop, systems: systems, tankL: tankL, moduleM2: w.Collector.AreaM2})...)
			}
		}
	}
	switch {
	case len(out) == 0:
		return nil, fmt.Errorf("nothing that may be tried fits this house: it draws %.0f l a day at %d °C, its tanks should hold %g to %g days of that, with %d to %d l for every m² of at most %g m² of collectors; offer other tanks or more systems under [choices], or more room under [roof]",
			dayL, planningHotC, leastDays, float64(mostDays), leastTankLPerM2, mostTankLPerM2, w.Roof.MostAreaM2)
	case len(out) > mostOptions:
		return nil, fmt.Errorf("there are %d combinations to try, and %d are the most; offer fewer tanks or systems under [choices], or a larger module under [collector]", len(out), mostOptions)
	}
	return out, nil
}

// fieldsOf are an option's tanks with every field of collectors that suits them.
func fieldsOf(w *site.Wish, o option) (out []option) {
	for o.modules = 1; float64(o.systems)*o.areaM2() <= w.Roof.MostAreaM2; o.modules++ {
		if perM2 := o.tankL / o.areaM2(); perM2 >= leastTankLPerM2 && perM2 <= mostTankLPerM2 {
			out = append(out, o)
		}
	}
	return out
}

func loopsOf(c *site.Choices) (loops []control.Loop) {
	if c.Pumped {
		loops = append(loops, control.Pumped)
	}
	if c.Natural {
		loops = append(loops, control.Natural)
	}
	return loops
}

// litresADay is the household's hot water on a mean day, in litres at 60 °C over
// cold water of 10 °C.
func litresADay(house *site.Site) (float64, error) {
	h := house.Household
	if h.Profile == "" {
		return float64(h.People) * h.LitresPerPerson, nil
	}
	profile, err := household.TappingProfile(h.Profile)
	if err != nil {
		return 0, err
	}
	heatJ := 0.0
	for _, d := range profile.Day(household.Date{Year: 2026, Month: 1, Day: 1}, nil) {
		heatJ += d.HeatJ(planningColdC)
	}
	return heatJ / jouleOfLitre, nil
}

// jouleOfLitre is the heat of a litre of hot water as planning figures count it, a
// litre of 4180 J/K, as the household's draws are counted.
const (
	jouleOfLitre = 4180.0 * (planningHotC - planningColdC)
	jouleOfKWh   = 3.6e6
)
