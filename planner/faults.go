package planner

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"sunstoker/planner/paper"
	"sunstoker/sim"
)

// addFaults lets things break in a run, as written for sim.House.ParseFault, and
// returns what that means in dates.
func (r *Run) addFaults(texts []string) (told []string, err error) {
	start := r.House.Now().In(r.site.Zone)
	length := start.AddDate(0, r.months, 0).Sub(start)
	for _, text := range texts {
		f, err := r.House.ParseFault(text)
		if err == nil && f.Start >= length {
			err = fmt.Errorf("it begins after the end of the run, which lasts %.0f days", length.Hours()/24)
		}
		if err == nil {
			err = r.House.AddFault(f)
		}
		if err != nil {
			return nil, fmt.Errorf("--fault %q: %w", text, err)
		}
		told = append(told, faultWords(text, &f, start))
	}
	return told, nil
}

func faultWords(text string, f *sim.Fault, start time.Time) string {
	const form = "2 January 2006 15:04"
	out := strings.Join(strings.Fields(text), " ") + ": from " + start.Add(f.Start).Format(form)
	if f.Duration == 0 {
		return out + " on, for good"
	}
	return out + " to " + start.Add(f.Start+f.Duration).Format(form)
}

// WriteFaults lists all faults by part, with what they mean and how they are
// written.
func WriteFaults(w io.Writer) error {
	var b strings.Builder
	b.WriteString(`Faults that simulate can switch on, with --fault "NAME at TIME for TIME". The times
are lengths such as 40d, 12h, 90m or 1d12h: "at" counts from the start of the run, and
without "for" a fault lasts for good. What breaks stays broken where only a person
could mend it: a cut-out that has opened, fluid that a loop has lost. More words, in any
order: "amount NUMBER"; "system NAME" where a house has several; "probe PLACE" for a
fault of a probe, such as probe tank top; "with PLACE" for the other one of a pair.
`)
	part := ""
	for _, k := range sim.FaultKinds() {
		if k.Part != part {
			part = k.Part
			fmt.Fprintf(&b, "\n%s\n", paper.Capital(part))
		}
		fmt.Fprintf(&b, "  %s: %s%s\n", k.Name, k.Meaning, amountWords(&k))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func amountWords(k *sim.FaultKind) string {
	if k.Amount == "" {
		return ""
	}
	out := fmt.Sprintf("; amount: %s, %g to %g", k.Amount, k.Least, k.Most)
	if !math.IsNaN(k.UsualAmount) {
		out += fmt.Sprintf(", usually %g", k.UsualAmount)
	}
	return out
}
