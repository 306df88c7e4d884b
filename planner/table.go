package planner

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// column is a figure of a month with all that is said of it: in the table, on
// the report and in the CSV file.
type column struct {
	head    [3]string // in the table, last the unit
	csvName string    // with its unit
	csvOnly bool
	digits  int // in table and report; the CSV file has three, none for whole numbers
	whole   bool
	value   func(*Month) float64
}

var columns = []column{
	{[3]string{"sun on the", "collectors", "kWh"}, "sun_on_collectors_kWh", false, 0, false, func(m *Month) float64 { return m.SunOnCollectorsKWh }},
	{[3]string{"heat from", "the sun", "kWh"}, "heat_from_sun_kWh", false, 0, false, func(m *Month) float64 { return m.FromSunKWh }},
	{[3]string{"heat from", "the meter", "kWh"}, "heat_from_meter_kWh", false, 0, false, func(m *Month) float64 { return m.FromMeterKWh }},
	{[3]string{"drawn", "at taps", "kWh"}, "drawn_kWh", false, 0, false, func(m *Month) float64 { return m.DrawnKWh }},
	{[3]string{"lost by", "tank, line", "kWh"}, "lost_by_tank_and_hot_water_line_kWh", false, 0, false, (*Month).LossKWh},
	{[3]string{"lost by", "pipes", "kWh"}, "lost_by_loop_pipes_kWh", false, 0, false, func(m *Month) float64 { return m.LoopLossKWh }},
	{[3]string{"", "", ""}, "let_out_by_relief_valve_kWh", true, 0, false, func(m *Month) float64 { return m.LetOutKWh }},
	{[3]string{"", "", ""}, "more_stored_in_tank_and_hot_water_line_kWh", true, 0, false, func(m *Month) float64 { return m.MoreInTanksKWh }},
	{[3]string{"", "", ""}, "pump_kWh", true, 0, false, func(m *Month) float64 { return m.PumpKWh }},
	{[3]string{"", "", ""}, "circulation_pump_kWh", true, 0, false, func(m *Month) float64 { return m.CirculationPumpKWh }},
	{[3]string{"solar", "share", "%"}, shareColumn, false, 0, false, func(m *Month) float64 { return 100 * m.SolarShare() }},
	{[3]string{"all", "draws", ""}, "draws", false, 0, true, func(m *Month) float64 { return float64(m.Draws) }},
	{[3]string{"draws not", "warm enough", ""}, "draws_short_of_temperature", false, 0, true, func(m *Month) float64 { return float64(m.ShortDraws) }},
	{[3]string{"pump", "runs", "h"}, "pump_hours", false, 0, false, func(m *Month) float64 { return m.PumpHours }},
	{[3]string{"pump", "starts", ""}, "pump_starts", false, 0, true, func(m *Month) float64 { return float64(m.PumpStarts) }},
	{[3]string{"heater", "runs", "h"}, "heater_hours", false, 0, false, func(m *Month) float64 { return m.HeaterHours }},
	{[3]string{"heater", "starts", ""}, "heater_starts", false, 0, true, func(m *Month) float64 { return float64(m.HeaterStarts) }},
	{[3]string{"stag-", "nation", "h"}, "stagnation_hours", false, 0, false, func(m *Month) float64 { return m.StagnationHours }},
	{[3]string{"", "", ""}, "asked_kWh", true, 0, false, func(m *Month) float64 { return m.AskedKWh }},
	{[3]string{"", "", ""}, "not_warm_enough_kWh", true, 0, false, func(m *Month) float64 { return m.ShortKWh }},
	{[3]string{"", "", ""}, "cut_out_open_hours", true, 0, false, func(m *Month) float64 { return m.CutOutHours }},
}

// shareColumn is the one whose figure stands in brackets where it flatters.
const shareColumn = "solar_share_percent"

// shareCell writes a month's solar share.
func shareCell(m *Month) string {
	share := fixed(100*m.SolarShare(), 0)
	if m.Flattering() {
		return "(" + share + ")"
	}
	return share
}

// bracketNote says what the brackets mean; empty when there are none.
func bracketNote(y *Year) string {
	total := y.Total()
	for i := range y.Months {
		if y.Months[i].Flattering() || total.Flattering() {
			return text("A solar share in brackets would be more than %d points lower had the meter made up for the draws that were not warm enough.", flatteryPoints)
		}
	}
	return ""
}

// LossKWh is the heat lost between tank and tap.
func (m *Month) LossKWh() float64 { return m.TankLossKWh + m.LineLossKWh }

// fixed writes a number with so many digits and never as minus zero.
func fixed(x float64, digits int) string {
	out := strconv.FormatFloat(x, 'f', digits, 64)
	if rest, negative := strings.CutPrefix(out, "-"); negative && strings.Trim(rest, "0.") == "" {
		return rest
	}
	return out
}

// writeTable writes the months and their total: first their heat, then draws and
// running hours, so that no line is longer than a terminal's 80 columns.
func writeTable(w io.Writer, y *Year) {
	total := y.Total()
	last := 1 + slices.IndexFunc(columns, func(c column) bool { return c.csvName == shareColumn })
	for i, part := range [][]column{columns[:last], columns[last:]} {
		if i > 0 {
			fmt.Fprintln(w)
		}
		rows := [][]string{{""}, {"month"}, {""}}
		for _, c := range part {
			if c.csvOnly {
				continue
			}
			for i := range c.head {
				rows[i] = append(rows[i], c.head[i])
			}
		}
		for i := range y.Months {
			rows = append(rows, tableRow(y.Months[i].Start.Format("Jan 2006"), &y.Months[i], part))
		}
		writeRows(w, append(rows, tableRow("together", &total, part)))
	}
}

// writeRows lines cells up; a rule is drawn above the last row.
func writeRows(w io.Writer, rows [][]string) {
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], len(cell))
		}
	}
	for i, row := range rows {
		var line strings.Builder
		fmt.Fprintf(&line, "%-*s", widths[0], row[0])
		for k, cell := range row[1:] {
			fmt.Fprintf(&line, "  %*s", widths[k+1], cell)
		}
		if i == len(rows)-1 {
			fmt.Fprintln(w, strings.Repeat("-", line.Len()))
		}
		fmt.Fprintln(w, strings.TrimRight(line.String(), " "))
	}
}

func tableRow(name string, m *Month, of []column) []string {
	row := []string{name}
	for _, c := range of {
		switch {
		case c.csvOnly:
		case c.csvName == shareColumn:
			row = append(row, shareCell(m))
		default:
			row = append(row, fixed(c.value(m), c.digits))
		}
	}
	return row
}

// writeCSV writes the months as RFC 4180 asks, one header line, no total. The
// columns and their order stay; new ones come last.
func writeCSV(w io.Writer, y *Year) error {
	names := []string{"month"}
	for _, c := range columns {
		names = append(names, c.csvName)
	}
	lines := []string{strings.Join(names, ",")}
	for i := range y.Months {
		m := &y.Months[i]
		cells := []string{m.Start.Format("2006-01")}
		for _, c := range columns {
			digits := 3
			if c.whole {
				digits = 0
			}
			cells = append(cells, fixed(c.value(m), digits))
		}
		lines = append(lines, strings.Join(cells, ","))
	}
	_, err := io.WriteString(w, strings.Join(lines, "\r\n")+"\r\n")
	return err
}
