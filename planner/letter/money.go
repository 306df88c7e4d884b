package letter

import "fmt"

func (l *Letter) money() []string {
	t, price := l.total(), l.site.Electricity
	if price.Currency == "" {
		return []string{"No price of electricity stands in the site file (price under [electricity]), so nothing is said of money."}
	}
	text := fmt.Sprintf("At %s a kWh, heater and pumps cost %s", price, l.amount(t.meter+t.pumps))
	if l.sunCounted {
		text += fmt.Sprintf("; what the sun brought would have cost %s from the meter", l.amount(t.sun))
	}
	return []string{text + ". The price is today's, for all of the year."}
}

// amount is what some electricity costs.
func (l *Letter) amount(kWh float64) string {
	price := l.site.Electricity
	return whole(kWh*price.PerKWh) + " " + price.Currency
}

// plan holds what came against what was planned, for months that were watched from
// beginning to end.
func (l *Letter) plan() string {
	var came, planned float64
	var of []string
	for i := range l.months {
		if m := &l.months[i]; m.promised > 0 && m.whole() {
			came, planned = came+m.sun, planned+m.promised
			of = append(of, m.begin.Format("January"))
		}
	}
	switch {
	case l.total().promised == 0:
		return "No plan stands in the site file (promised_heat of every system) to hold the sun's heat against."
	case !l.sunCounted:
		return "The sun's heat can't be held against the plan, since it can't be told."
	case planned == 0:
		return "No month was watched from beginning to end, so none can be held against the plan."
	}
	months := "in the year"
	if len(of) < len(l.months) {
		months = "in " + listed(of)
		if len(of) > 3 {
			months = fmt.Sprintf("in the %d months that were watched from beginning to end", len(of))
		}
	}
	return fmt.Sprintf("The plan was %s kWh from the sun %s; %s kWh came, %s %% of it. Years differ by a tenth or so in sun.", whole(planned), months, whole(came), whole(100*came/planned))
}
