package sizing

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"sunstoker/planner/paper"
	"sunstoker/site"
)

// column is a figure of an option with all that is said of it: in the table, on the
// report and in the CSV file.
type column struct {
	head    [3]string // in the table, last the unit; empty for the CSV file alone
	csvName string    // with its unit
	cell    func(*study, *outcome) string
	csvCell func(*study, *outcome) string // where the file wants another
}

func number(digits int, of func(*outcome) float64) func(*study, *outcome) string {
	return func(_ *study, o *outcome) string { return fixed(of(o), digits) }
}

// fixed writes a number with so many digits; nothing where there is none.
func fixed(x float64, digits int) string {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'f', digits, 64)
}

func inWords(of func(*option) string) func(*study, *outcome) string {
	return func(_ *study, o *outcome) string { return of(&o.option) }
}

// shareCell is the solar share, in brackets where it is high for want of heat.
func shareCell(_ *study, o *outcome) string {
	if o.flattering {
		return "(" + fixed(100*o.share, 0) + ")"
	}
	return fixed(100*o.share, 0)
}

var columns = []column{
	{[3]string{"", "loop", ""}, "loop", inWords((*option).loopWords), nil},
	{[3]string{"", "tanks", ""}, "tanks", inWords((*option).tanksWords), nil},
	{[3]string{"", "collectors", ""}, "collectors", inWords((*option).areaWords), nil},
	{[3]string{"from", "the sun", "%"}, "solar_share_percent", shareCell, number(2, func(o *outcome) float64 { return 100 * o.share })},
	{[3]string{"", "meter", "kWh"}, "heat_from_meter_kWh", number(0, func(o *outcome) float64 { return o.meterKWh }), number(1, func(o *outcome) float64 { return o.meterKWh })},
	{[3]string{"cold", "taps", "%"}, "cold_taps_percent", number(1, (*outcome).coldPercent), number(2, (*outcome).coldPercent)},
	{[3]string{"", "on", "days"}, "cold_tap_days", number(0, func(o *outcome) float64 { return float64(o.coldDays) }), nil},
	{[3]string{"stag-", "nation", "h"}, "stagnation_hours", number(0, func(o *outcome) float64 { return o.stagnationH }), number(1, func(o *outcome) float64 { return o.stagnationH })},
	{[3]string{"", "cost", ""}, "cost", number(0, func(o *outcome) float64 { return o.cost }), nil},
	{[3]string{"paid", "back", "years"}, "payback_years", func(_ *study, o *outcome) string { return paybackWords(o) }, number(2, func(o *outcome) float64 { return o.payback })},
	{[3]string{}, "currency", func(s *study, _ *outcome) string { return s.wish.House.Electricity.Currency }, nil},
	{[3]string{}, "cost_with_running_over_the_years", number(0, func(o *outcome) float64 { return o.whole }), nil},
	{[3]string{}, "asked_at_taps_kWh", number(1, func(o *outcome) float64 { return o.asked }), nil},
	{[3]string{}, "pumps_kWh", number(1, func(o *outcome) float64 { return o.pumpKWh }), nil},
	{[3]string{}, "saved_kWh", number(1, func(o *outcome) float64 { return o.savedKWh }), nil},
	{[3]string{}, "heat_too_cold_percent", number(2, func(o *outcome) float64 { return 100 * o.shortShare }), nil},
	{[3]string{}, "cut_outs_opened", number(0, func(o *outcome) float64 { return float64(o.trips) }), nil},
	{[3]string{}, "correlation_share_percent", func(_ *study, o *outcome) string {
		if o.chartError != nil {
			return ""
		}
		return fixed(100*o.chart, 2)
	}, nil},
	{[3]string{}, "among_the_best", func(s *study, o *outcome) string { return s.place(o) }, nil},
	{[3]string{}, "why_not", func(s *study, o *outcome) string { return o.againstWords(s.wish) }, nil},
}

// coldPercent is how many of all draws were not warm enough.
func (o *outcome) coldPercent() float64 {
	if o.draws == 0 {
		return 0
	}
	return 100 * float64(o.cold) / float64(o.draws)
}

// place is an option's place among the best, or nothing.
func (s *study) place(o *outcome) string {
	for i := range s.picks {
		if s.picks[i].outcome == o {
			return strconv.Itoa(i + 1)
		}
	}
	return ""
}

// shown are the columns of the table.
func shown() (out []column) {
	for _, c := range columns {
		if c.head[1] != "" {
			out = append(out, c)
		}
	}
	return out
}

// cells is a line of the table: its number, a star where it is among the best, and
// its figures.
func (s *study) cells(i int) []string {
	o := s.outcomes[i]
	mark := strconv.Itoa(i+1) + " "
	if s.place(o) != "" {
		mark = strconv.Itoa(i+1) + "*"
	}
	out := []string{mark}
	for _, c := range shown() {
		out = append(out, c.cell(s, o))
	}
	return out
}

// textColumns are those of words, which stand to the left.
const textColumns = 4

// table writes the options in lines.
func (s *study) table(to *paper.Sheet) {
	rows := make([][]string, 3, 3+len(s.outcomes))
	for i := range rows {
		rows[i] = []string{""}
		for _, c := range shown() {
			head := c.head[i]
			if i == 2 && c.csvName == "cost" {
				head = s.wish.House.Electricity.Currency
			}
			rows[i] = append(rows[i], head)
		}
	}
	for i := range s.outcomes {
		rows = append(rows, s.cells(i))
	}
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		line := ""
		for i, cell := range row {
			room := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if i > 0 && i < textColumns {
				line += cell + room + " "
			} else {
				line += room + cell + " "
			}
		}
		to.Line(line)
	}
}

// writeCSV writes the options as RFC 4180 asks, one header line. The columns and
// their order stay; new ones come last.
func (s *study) writeCSV(to io.Writer) error {
	w := csv.NewWriter(to)
	w.UseCRLF = true
	head := []string{"option"}
	for _, c := range columns {
		head = append(head, c.csvName)
	}
	rows := [][]string{head}
	for i, o := range s.outcomes {
		row := []string{strconv.Itoa(i + 1)}
		for _, c := range columns {
			cell := c.cell
			if c.csvCell != nil {
				cell = c.csvCell
			}
			row = append(row, cell(s, o))
		}
		rows = append(rows, row)
	}
	return w.WriteAll(rows)
}

// inventedWords warns of prices that are still ours; empty when there are none.
func inventedWords(w *site.Wish) string {
	if len(w.Prices.Invented) == 0 {
		return ""
	}
	return "These prices are the invented ones of the starter file, so that all money here is worth nothing until they are replaced: " + strings.Join(w.Prices.Invented, ", ") + "."
}
