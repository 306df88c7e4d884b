package replay

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/site"
)

// Record is what was measured and driven, minute by minute.
type Record struct {
	starts   []int64     // Unix seconds of the minutes, in their order; those not watched are left out
	readings [][]float64 // per probe of the plan, per start; NaN where there was no good value
	levels   [][]float64 // per output, the mean from 0 to 1; NaN where it is not known
}

// minutes is how many there are.
func (r *Record) minutes() int { return len(r.starts) }

// begin and end bound the record.
func (r *Record) begin() time.Time { return time.Unix(r.starts[0], 0) }
func (r *Record) end() time.Time   { return time.Unix(r.starts[len(r.starts)-1]+60, 0) }

// newRecord is an empty record of a plan.
func newRecord(p *control.Plan) *Record {
	return &Record{readings: make([][]float64, len(p.Probes)), levels: make([][]float64, len(p.Outputs))}
}

// seriesOf names the series of a plan's probes and outputs as the history does.
func seriesOf(p *control.Plan) (probes, outputs []history.Series) {
	name := func(system int) string {
		if system == control.House {
			return ""
		}
		return p.Systems[system].Name
	}
	for _, probe := range p.Probes {
		probes = append(probes, history.Series{System: name(probe.System), Name: probe.Place.String(), Unit: probe.Place.Unit().String()})
	}
	for _, output := range p.Outputs {
		outputs = append(outputs, history.Series{System: name(output.System), Name: output.Actuator.String()})
	}
	return probes, outputs
}

// chunk is how much of a history is read at once: a chart has at most 10,000 points.
const chunk = 6 * 24 * time.Hour

// FromHistory reads the minutes of a history from one instant to before another.
func FromHistory(ctx context.Context, h *history.Reader, s *site.Site, from, to time.Time) (*Record, error) {
	r := newRecord(&s.Plan)
	probes, outputs := seriesOf(&s.Plan)
	first, err := h.Moment(ctx, from)
	if err != nil {
		return nil, err
	}
	if first != nil && first.Span > time.Minute {
		return nil, fmt.Errorf("single minutes of %s are no longer kept: give a later --from", from.In(s.Zone).Format("2006-01-02 15:04"))
	}
	for at := from; at.Before(to); at = at.Add(chunk) {
		end := at.Add(chunk)
		if end.After(to) {
			end = to
		}
		c, err := h.Chart(ctx, history.Wanted{From: at, To: end, Points: int(end.Sub(at)/time.Minute) + 1, Series: slices.Concat(probes, outputs)})
		if err != nil {
			return nil, err
		}
		r.starts = append(r.starts, c.Starts...)
		for i := range r.readings {
			r.readings[i] = append(r.readings[i], c.Lines[i].Mean...)
		}
		for i := range r.levels {
			r.levels[i] = append(r.levels[i], c.Lines[len(probes)+i].Mean...)
		}
	}
	return r, r.check(from, to, s.Zone)
}

// check refuses a record in which there is nothing to replay.
func (r *Record) check(from, to time.Time, zone *time.Location) error {
	if r.minutes() == 0 {
		const form = "2006-01-02 15:04"
		return fmt.Errorf("nothing was watched from %s to %s: give other times with --from and --to", from.In(zone).Format(form), to.In(zone).Format(form))
	}
	if r.end().Sub(r.begin()) > mostLength+time.Hour {
		return misasked("a replay of %.0f days is too long: give --from and --to that are at most %.0f days apart", r.end().Sub(r.begin()).Hours()/24, mostLength.Hours()/24)
	}
	for _, values := range r.readings {
		if slices.ContainsFunc(values, func(v float64) bool { return !math.IsNaN(v) }) {
			return nil
		}
	}
	return fmt.Errorf("none of the probes of this site file has a value in the record: is it that of another house, or were systems renamed?")
}
