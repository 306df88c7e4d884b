package sizing

import (
	"fmt"
	"slices"
	"strings"

	"sunstoker/planner"
	"sunstoker/planner/paper"
	"sunstoker/site"
)

// sheet is all that is told, as plain text.
func (s *study) sheet() *paper.Sheet {
	t := &paper.Sheet{}
	t.Heading("%s: %s", s.wish.House.Name, s.tried())
	for _, words := range s.preface() {
		t.Say(0, "%s", words)
	}
	t.Line("")
	s.table(t)
	for _, words := range s.notes() {
		t.Say(0, "%s", words)
	}
	t.Heading("The best, and why")
	for i := range s.picks {
		p := &s.picks[i]
		t.Say(0, "%d. Option %d, %s: %s", i+1, p.number, p.words(), p.why())
	}
	t.Say(0, "%s", moneyWords(s.wish))
	t.Heading("Held against figures from outside")
	for _, c := range s.outside() {
		t.Say(0, "- %s", c.words)
	}
	t.Heading("Fitting sheet of option %d: %s", s.number, s.chosen.words())
	for _, words := range s.fittingNotes() {
		t.Say(0, "%s", words)
	}
	for _, r := range s.rows() {
		t.Say(0, "%s: %s", r.what, r.value)
		t.Say(4, "%s.", r.how)
	}
	t.Heading("What is wired")
	for _, r := range s.wiring() {
		t.Say(0, "%s: %s", r.what, r.value)
		t.Say(4, "%s.", r.how)
	}
	t.Heading("Cautions")
	for _, words := range cautions() {
		t.Say(0, "- %s", words)
	}
	t.Heading("What the years leave out")
	for _, words := range limits {
		t.Say(0, "- %s", words)
	}
	return t
}

func (s *study) tried() string {
	return fmt.Sprintf("%d options, a year each under its own controller", len(s.outcomes))
}

// preface is what must be known before the table.
func (s *study) preface() []string {
	out := []string{"Weather: " + s.weather.Words + "."}
	if s.weather.Remark != "" {
		out = append(out, s.weather.Remark)
	}
	if words := inventedWords(s.wish); words != "" {
		out = append(out, words)
	}
	if advice := s.wish.House.Advice; len(advice) > 0 {
		out = append(out, strings.Split(site.Lines(advice), "\n")...)
	}
	return out
}

// notes explain the table: its star, and what speaks against options.
func (s *study) notes() []string {
	out := []string{"With a star: among the best. Cold taps: draws that did not come warm enough, and the days that had one. Paid back: by what is saved in a year."}
	if slices.ContainsFunc(s.outcomes, func(o *outcome) bool { return o.flattering }) {
		out = append(out, "In brackets: a share that is high only since draws came too cold.")
	}
	for _, x := range []objection{opensCutOut, tooCold, overBudget} {
		var numbers []string
		for i, o := range s.outcomes {
			if slices.Contains(o.against(s.wish), x) {
				numbers = append(numbers, fmt.Sprint(i+1))
			}
		}
		if len(numbers) > 0 {
			out = append(out, fmt.Sprintf("Among the best only where too few others fit: %s (%s).", strings.Join(numbers, ", "), x.words()))
		}
	}
	return out
}

// moneyWords says how money was reckoned.
func moneyWords(w *site.Wish) string {
	return fmt.Sprintf("Money: cost by the prices of the wish, at %s for a kWh; saved is what a heater would take that makes the same water hot and loses nothing on the way, less heater, pumps and service. Simple payback: no interest, no prices that rise, nothing that wears out; a tank with a heater, which would be needed anyway, is paid for here.", w.House.Electricity)
}

// fittingNotes stand before the fitting sheet.
func (s *study) fittingNotes() []string {
	var out []string
	if s.chosen.systems > 1 {
		out = append(out, fmt.Sprintf("All figures are for one of the %d systems, which are alike.", s.chosen.systems))
	}
	if why := s.chosen.againstWords(s.wish); why != "" {
		out = append(out, "Mind: "+why+".")
	}
	if s.chosen.natural() && s.chosen.year != nil {
		out = append(out, fmt.Sprintf("No program holds the sun back in natural circulation: a tank reached %.0f °C in this year. Tempering valve, relief and cut-out must be there before the sun is let in.", s.chosen.year.HottestTankC))
	}
	if s.wish.Choices.Store == site.LoopFluid {
		out = append(out, "The drinking water runs through a coil and is stored nowhere; what stands in coil and pipes still ages.")
	}
	return out
}

// cautions are those of every plan, and those of a fitting sheet.
func cautions() []string {
	return slices.Concat(planner.Cautions, []string{
		"The sizes of vessel, valves, heater and pipes are a proposal for whoever answers for the work: papers of the makers and the local code come before any figure here.",
		"Antifreeze: only what is made for solar loops and is harmless to drink; a leak in a coil brings it to the tap. It ages by heat: measure it every year.",
	})
}

// limits are what a reader must know of the years.
var limits = []string{
	"A typical or generated year is no forecast, and households differ more than years do.",
	"The heater may help at any time, from 50 to 55 °C at the tank top, so that all options compare at the same comfort. Windows, cheap power and waiting for the sun are settings to try with the command \"simulate\".",
	"Shade is taken from the sun's beam alone; snow, dirt and wind are left out. The site file knows no shade: \"simulate\" runs it in the open.",
	"Steps of up to 30 s stand for the controller's second; solar shares change by less than a point.",
	"What several systems share unevenly, and pipes to the taps, are left out.",
}
