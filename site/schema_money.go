package site

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"sunstoker/control"
)

// What the page holds the heat from the sun against: the price of what it stands
// in for, and what was promised of it. The controller looks at prices alone, and at
// them only where they differ by the hour.

var electricityTable = table{
	name:    "electricity",
	meaning: "Electricity from the meter.",
	keys: []key{
		{name: "price", kind: plainText, form: &priceForm, example: "0.30 EUR",
			meaning: "What a kWh costs, with the currency behind it. The page tells by it what the heat from the sun has saved; left out, it tells of no money.",
			set:     func(t *target, v value) { t.site.Electricity, _ = parsePrice(v.text) }}, // the form has proved it
		{name: "prices_by_time", kind: plainText, form: &pricesByTimeForm, example: "0.12 from 22:00 to 06:00, 0.42 from 17:00 to 20:00",
			meaning: "What a kWh costs at some times of the day, local civil time, in the currency of price; at all others it costs price. A heater that waits for the sun (hot_water_surety) heats by them at the times that cost least and still serve, and off_peak_windows then hold only while it does not decide. What the page and the letter tell of money goes by price alone. Left out, every hour costs the same.",
			set:     func(t *target, v value) { t.site.PricesByTime, _ = parsePricesByTime(v.text) }}, // the form has proved it
	},
}

// Price is what a kWh of electricity costs.
type Price struct {
	PerKWh   float64
	Currency string // as the owner writes it; empty when no price is written
}

// String is the price as a person writes it: no single figure stands behind the point.
func (p Price) String() string {
	amount := strconv.FormatFloat(p.PerKWh, 'f', -1, 64)
	if point := strings.IndexByte(amount, '.'); point >= 0 && point == len(amount)-2 {
		amount += "0"
	}
	return amount + " " + p.Currency
}

var priceForm = form{
	allowed: `a price from 0 to 1000000 with its currency, such as "0.30 EUR"`,
	wrong:   func(text string) string { return wrongIn(parsePrice(text)) },
}

// mostPrice leaves room for currencies of which a kWh costs thousands.
const mostPrice = 1_000_000

// mostCurrency is how many letters a currency may have.
const mostCurrency = 8

func parsePrice(text string) (Price, error) {
	m, err := parseMoney(text, mostPrice)
	return Price{m.Amount, m.Currency}, err
}

// parseMoney reads an amount with its currency behind it.
func parseMoney(text string, most float64) (Money, error) {
	number, currency, _ := strings.Cut(text, " ")
	amount, known := plainFigure(number, most)
	switch {
	case !known:
		return Money{}, fmt.Errorf("%q does not begin with a price", text)
	case currency == "" || len([]rune(currency)) > mostCurrency || strings.ContainsFunc(currency, inNoCurrency):
		return Money{}, fmt.Errorf("%q does not end with a currency of 1 to %d letters", text, mostCurrency)
	}
	return Money{amount, currency}, nil
}

// inNoCurrency tells of a sign that stands in no currency's name or symbol.
func inNoCurrency(r rune) bool { return !unicode.IsLetter(r) && !unicode.Is(unicode.Sc, r) && r != '.' }

var pricesByTimeForm = form{
	allowed: `prices with their times and commas between, such as "0.12 from 22:00 to 06:00, 0.42 from 17:00 to 20:00"`,
	wrong:   func(text string) string { return wrongIn(parsePricesByTime(text)) },
}

// parsePricesByTime reads prices that hold at some times of the day. No two may hold
// at the same time.
func parsePricesByTime(text string) (prices []control.Price, err error) {
	for part := range strings.SplitSeq(text, ",") {
		number, times, _ := strings.Cut(strings.TrimSpace(part), " from ")
		perKWh, known := plainFigure(number, mostPrice)
		if !known {
			return nil, fmt.Errorf("%q does not begin with a price of 0 to %d", strings.TrimSpace(part), mostPrice)
		}
		windows, err := control.ParseWindows(times)
		if err != nil {
			return nil, err
		}
		if len(windows) != 1 || windows.Always() {
			return nil, fmt.Errorf("%q names no time of the day", strings.TrimSpace(part))
		}
		for _, other := range prices {
			if other.Windows.Contain(windows[0].From) || windows.Contain(other.Windows[0].From) {
				return nil, fmt.Errorf("%q and %q overlap, so that two prices hold at once", other.Windows, windows)
			}
		}
		prices = append(prices, control.Price{Windows: windows, PerKWh: perKWh})
	}
	return prices, nil
}

// checkPrices wants a price for the rest of the day.
func (w *walker) checkPrices() {
	const path = "electricity.prices_by_time"
	if w.written(path) && !w.written("electricity.price") {
		w.wrong(path, w.at(path), "what a kWh costs at all other times is missing", `write price too, such as price = "0.30 EUR"`)
	}
}

var promiseForm = form{
	allowed: `twelve figures from 0 to 100000 with commas between, from January to December, and kWh behind them`,
	wrong:   func(text string) string { return wrongIn(parsePromise(text)) },
}

const mostPromisedKWh = 100_000

func parsePromise(text string) ([]float64, error) { return parseMonths(text, "kWh", mostPromisedKWh) }

// parseMonths reads a figure for each month, with their unit behind the last.
func parseMonths(text, unit string, most float64) ([]float64, error) {
	list, ends := strings.CutSuffix(text, " "+unit)
	if !ends {
		return nil, fmt.Errorf("%q does not end with %s", text, unit)
	}
	parts := strings.Split(list, ",")
	if len(parts) != 12 {
		return nil, fmt.Errorf("there are %d figures for the twelve months", len(parts))
	}
	months := make([]float64, len(parts))
	for i, part := range parts {
		figure, known := plainFigure(strings.TrimSpace(part), most)
		if !known {
			return nil, fmt.Errorf("%q is no figure of a month", strings.TrimSpace(part))
		}
		months[i] = figure
	}
	return months, nil
}

// plainFigure reads a figure from 0 to a bound, written with figures and a point.
func plainFigure(text string, most float64) (v float64, known bool) {
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && v >= 0 && v <= most && strings.Trim(text, "0123456789.") == ""
}
