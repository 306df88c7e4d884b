package sizing

import (
	"fmt"
	"math"
	"time"

	"sunstoker/planner"
	"sunstoker/sim/household"
	"sunstoker/site"
)

// tolerancePoints is how many percentage points the simulated solar share may
// differ from the published correlation's. A year of the plants that the
// correlation was made for stays within 5 (package planner); pipes, losses of several
// tanks and draws by the hour make up the rest.
const tolerancePoints = 10

// Planning figures of litres a person and day: SIA 385/2 (2015), simple to high, at
// 60 °C over cold water of 10 °C, read second hand; and the lowest and highest of the
// methods behind European energy certificates, Ratajczak et al., Energies 14 (2021)
// 5010, read in the abstract.
const (
	simpleLitres, highLitres = 40, 55
	lowestLitres, mostLitres = 35, 88
)

// tolerancePercent is how far the water that is drawn in a simulated year may lie
// from what was asked for, since days differ by chance.
const tolerancePercent = 5

// check is a figure held against one from outside.
type check struct {
	agrees bool
	words  string
}

// outside holds the chosen option and the household against figures from outside.
func (s *study) outside() []check {
	return []check{s.shareCheck(), s.litresCheck(), s.personCheck()}
}

func (s *study) shareCheck() check {
	o := s.chosen
	if o.chartError != nil {
		return check{false, fmt.Sprintf("Solar share: not held against %s, which does not go that far: %v.", planner.CorrelationName, o.chartError)}
	}
	apart := 100 * (o.share - o.chart)
	c := check{math.Abs(apart) <= tolerancePoints, fmt.Sprintf("Solar share: %.0f %% simulated, %.0f %% by %s, %.0f points apart; the tolerance is %d.",
		100*o.share, 100*o.chart, planner.CorrelationName, math.Abs(apart), tolerancePoints)}
	if o.natural() {
		c.words += " The correlation is for pumped loops and takes this one as pumped."
	}
	if !c.agrees {
		c.words += " They do not agree: look at the figures of the collector and at the shade before you promise anything."
	}
	return c
}

// litresCheck holds the water that was drawn in the simulated year against the
// people and litres of the wish.
func (s *study) litresCheck() check {
	meant := s.dayL * presence(&s.wish.House.Household)
	apart := 100 * (s.chosen.dayL/meant - 1)
	c := check{math.Abs(apart) <= tolerancePercent, fmt.Sprintf("Hot water: the simulated household drew %.0f l on a mean day, at %d °C over cold water of %d °C; the wish comes to %.0f l with its holidays and guests. The tolerance is %d %%.",
		s.chosen.dayL, planningHotC, planningColdC, meant, tolerancePercent)}
	if !c.agrees {
		c.words += " They do not agree, by the chance of its days: try another --seed."
	}
	return c
}

// presence is how many person-days a year has, by those of the people who live in
// the house.
func presence(h *site.Household) float64 {
	if h.Profile != "" {
		return 1
	}
	const days = 365
	sum := 0.0
	for d := range days {
		date := household.DateOf(time.Date(2026, time.January, 1+d, 12, 0, 0, 0, time.UTC))
		persons := float64(h.People)
		for _, g := range h.Guests {
			if spanOf(g.Days).Holds(date) {
				persons += float64(g.People)
			}
		}
		for _, away := range h.Holidays {
			if spanOf(away).Holds(date) {
				persons = 0
			}
		}
		sum += persons
	}
	return sum / (days * float64(h.People))
}

func spanOf(d site.Days) household.Span {
	return household.Span{
		First: household.Date{Month: d.First.Month, Day: d.First.Day},
		Last:  household.Date{Month: d.Last.Month, Day: d.Last.Day},
	}
}

func (s *study) personCheck() check {
	h := &s.wish.House.Household
	if h.Profile != "" {
		return check{true, fmt.Sprintf("Litres a person: the household is load profile %s of EU regulation 812/2013 (read), and counts none.", h.Profile)}
	}
	l := h.LitresPerPerson
	c := check{l >= lowestLitres*(1-tolerancePercent/100.0) && l <= mostLitres*(1+tolerancePercent/100.0), ""}
	c.words = fmt.Sprintf("Litres a person: %g l a day, counted likewise. SIA 385/2 (2015, read second hand) plans with %d l for simple to %d l for high demand; European certificate methods span %d to %d l (Ratajczak et al., Energies 14 (2021) 5010, read), which is the bound here, with a tolerance of %d %%.",
		l, simpleLitres, highLitres, lowestLitres, mostLitres, tolerancePercent)
	if !c.agrees {
		c.words += " Yours lies outside: ask the people, or read a meter, before you size by it."
	}
	return c
}
