package campaign

import (
	"fmt"
	"io"
	"strings"
	"time"
)

// WriteVerdicts writes the table that an installer reads.
func WriteVerdicts(w io.Writer, results []Result) error {
	all := Summarize(results)
	r := &report{}
	r.head(all, results)
	r.table(all)
	r.open(all)
	r.elsewhere(all)
	_, err := io.WriteString(w, r.String())
	return err
}

type report struct{ strings.Builder }

func (r *report) line(format string, values ...any) { fmt.Fprintf(r, format+"\n", values...) }

func (r *report) head(all []Summary, results []Result) {
	counts := map[Verdict]int{}
	for i := range all {
		counts[all[i].Verdict]++
	}
	r.line("# What happens when something fails")
	r.line("")
	r.line("Written by `make campaign`, which throws each failure at simulated houses under the real controller. Do not edit.")
	r.line("")
	r.line("Each failure strikes a healthy house, stays for some days and is repaired. That is done on a sunny day, in a frosty")
	r.line("night, on a hot afternoon with a full tank, with a house full of guests and in a holiday; with a pumped loop, with")
	r.line("natural circulation, with a store of loop fluid, with two systems, and with a heat dump and a switched circulation")
	r.line("(what breaks those alone). What only a comparison of weeks can show is tried in a long run as well: two months of")
	r.line("seeded weather, then 45 days of it; and a winter in which it is there from the second day on. The program reads usual probes, which lag and scatter. What counts is what the plant")
	r.line("suffers beyond its healthy twin, whatever the program reads or says. Plants, people and weather are invented: a")
	r.line("failure that goes well here proves nothing about your plant, and **what must be fitted must be fitted**.")
	r.line("[SAFETY.md](../SAFETY.md) comes first, and your local code before it.")
	r.line("")
	r.line("A finding that waits for proof of health goes at a person's word, too, the end of the service state: here it is")
	r.line("given a day after the repair where one still stands.")
	r.line("")
	houses, days := spread(results)
	r.line("%d failures, %d houses, %d scenes, %d runs.", len(all), houses, days, len(results))
	r.line("")
	r.line("| Verdict | Failures | Means |")
	r.line("| --- | --- | --- |")
	for v := Told; v <= Open; v++ {
		r.line("| %s | %d | %s |", v, counts[v], verdictMeanings[v])
	}
	r.line("| %s | %d | %s |", NothingSeen, counts[NothingSeen], verdictMeanings[NothingSeen])
	r.line("| %s | %d | %s |", NotTried, counts[NotTried], verdictMeanings[NotTried])
	r.line("")
}

// spread counts the houses and scenes of results.
func spread(results []Result) (houses, scenes int) {
	inHouse, inScene := map[*House]bool{}, map[string]bool{}
	for i := range results {
		inHouse[results[i].Trial.House], inScene[results[i].Trial.Scene.Name] = true, true
	}
	return len(inHouse), len(inScene)
}

var verdictMeanings = [...]string{
	NotTried:    "the simulated house has no physics for it; see the end of this page",
	NothingSeen: "no run came to harm, and nothing had to be told",
	Told:        "no run came to harm, and the program says what is wrong",
	ToldLate:    "comfort or energy is lost; days of it look like weather or habits, and the program tells once it can compare weeks, in a run of that length",
	Covered:     "no run came to harm; with the named part taken away, some did",
	Fitting:     "the program is blind to it; what stands in the last column protects, or nothing does",
	LeftToParts: "the program says what is wrong before harm comes, by its cause or by an alarm of the harm, and does what it can, and harm remains for what is fitted and for whoever reads the message",
	Unheard:     "comfort or energy is lost; the program could have told of it, and does not yet",
	ToldTooLate: "people or plant had begun to come to harm in some run before the program said what was wrong: until then nothing protects but what is fitted",
	Open:        "people hurt or plant destroyed, and the program could have told of it: not solved yet",
}

func (r *report) table(all []Summary) {
	r.line("## Failures")
	r.line("")
	r.line("*Noticed after* is the middle and the longest time of the runs in which it was told; with those in which harm to")
	r.line("people or plant came first, those in which an alarm of the harm itself, which names no cause, came first, and with the")
	r.line("ways of failing that the plant felt and no run told of.")
	r.line("")
	r.line("| What fails | Danger | Verdict | Came about | Noticed after | The program says | Must be fitted or done |")
	r.line("| --- | --- | --- | --- | --- | --- | --- |")
	for i := range all {
		if s := &all[i]; s.Runs > 0 {
			r.line("| %s |", strings.Join([]string{
				"**" + s.Failure.Part + ":** " + s.Failure.Fails, s.danger(), s.verdict(), s.harm(), s.noticed(), s.says(), dash(s.Failure.Fit),
			}, " | "))
		}
	}
	r.line("")
}

func (s *Summary) danger() string {
	names := make([]string, len(s.Failure.Dangers))
	for i, d := range s.Failure.Dangers {
		names[i] = string(d)
	}
	return strings.Join(names, ", ") + " (" + s.Failure.Severity.String() + "; " + s.Failure.Sight.String() + ")"
}

func (s *Summary) verdict() string {
	v := s.Verdict.String()
	if s.Verdict == Covered {
		var parts []string
		for _, h := range s.Failure.Covers {
			parts = append(parts, h.String())
		}
		v = "covered by " + strings.Join(parts, ", ")
	}
	if s.Verdict == Open {
		v = "**OPEN**"
	}
	return v
}

func (s *Summary) harm() string {
	text := hazardList(s.Hazards)
	if len(s.Bare) > 0 {
		if text != "" {
			text += "; "
		}
		text += "without the part: " + hazardList(s.Bare)
	}
	if s.Words > 0 {
		text += fmt.Sprintf("; in %s a person's word was needed after the repair", runs(s.Words))
	}
	if len(s.Stuck) > 0 {
		text += fmt.Sprintf("; in %s not back to normal two days after the repair", runs(len(s.Stuck)))
	}
	return dash(strings.TrimPrefix(text, "; "))
}

func runs(n int) string {
	if n == 1 {
		return "1 run"
	}
	return fmt.Sprintf("%d runs", n)
}

func hazardList(all []Hazard) string {
	names := make([]string, len(all))
	for i, h := range all {
		names[i] = h.String()
	}
	return strings.Join(names, ", ")
}

func (s *Summary) noticed() string {
	long := s.toldInLong()
	if s.ToldIn == 0 && len(long) == 0 {
		return "never"
	}
	text := about(s.Median)
	if longest := about(s.Longest); longest != text {
		text += ", at most " + longest
	}
	if s.ToldIn == 0 {
		text += fmt.Sprintf("; in %d of %d long runs", len(long), len(s.Long))
	} else {
		text += fmt.Sprintf("; in %d of %d runs", s.ToldIn, s.Runs)
	}
	if s.Late > 0 {
		text += fmt.Sprintf("; in %d of %d with harm to people or plant, after it had begun", s.Late, s.Harmed)
	}
	if s.Alarmed > 0 {
		text += fmt.Sprintf("; in %d of %d with harm, first by an alarm of the harm itself", s.Alarmed, s.Harmed)
	}
	if len(s.Never) > 0 {
		text += "; **never** by " + strings.Join(s.Never, ", by ")
	}
	return text
}

func (s *Summary) says() string {
	text := "nothing"
	if s.Says != nil {
		text = s.Says.Message
	}
	if s.Says == nil && len(s.More) > 0 {
		text += fmt.Sprintf("; with more probes after %s: %s", about(s.More[0].After), s.More[0].Message)
	}
	return strings.ReplaceAll(text, "|", "/")
}

func dash(text string) string {
	if text == "" {
		return "-"
	}
	return text
}

// about writes a duration as a person says it.
func about(d time.Duration) string {
	switch {
	case d < 2*time.Minute:
		return fmt.Sprintf("%d s", int(d.Seconds()))
	case d < 2*time.Hour:
		return fmt.Sprintf("%d min", int(d.Minutes()))
	case d < 2*day:
		return fmt.Sprintf("%.0f h", d.Hours())
	}
	return fmt.Sprintf("%.0f days", d.Hours()/24)
}

// open lists what is not solved, and what is told too late.
func (r *report) open(all []Summary) {
	r.list(all, "Open, and not told", func(s *Summary) string {
		if s.Verdict != Open && s.Verdict != Unheard {
			return ""
		}
		what := hazardList(s.Worst.Hazards)
		if what == "" {
			what = "nothing tells of it"
		}
		return fmt.Sprintf("%s. Worst in %s: %s; told in %d of %d runs.", s.Verdict, s.Worst.where(), what, s.ToldIn, s.Runs)
	})
	r.list(all, "Told only after the harm had begun", func(s *Summary) string {
		if s.Latest == nil {
			return ""
		}
		return fmt.Sprintf("in %d of %d runs with harm. Latest in %s: %s, told of %s after it had begun.", s.Late, s.Harmed,
			s.Latest.where(), hazardList(severe(s.Latest.Hazards)), about(s.Latest.waited(severe(s.Latest.Hazards))))
	})
}

// list writes a line for each failure of which there is something to tell.
func (r *report) list(all []Summary, heading string, tell func(s *Summary) string) {
	r.line("## %s", heading)
	r.line("")
	none := true
	for i := range all {
		if text := tell(&all[i]); text != "" {
			none = false
			r.line("- **%s:** %s: %s", all[i].Failure.Part, all[i].Failure.Fails, text)
		}
	}
	if none {
		r.line("Nothing.")
	}
	r.line("")
}

// where names the house and scene of a run, and the way in which it was broken.
func (res *Result) where() string {
	return fmt.Sprintf("%q, %s, by %q", res.Trial.House.Name, res.Trial.Scene.Name, res.Trial.switches())
}

func (r *report) elsewhere(all []Summary) {
	r.line("## Tried elsewhere")
	r.line("")
	r.line("| What fails | Why not here | Tests that hold it | Must be fitted or done |")
	r.line("| --- | --- | --- | --- |")
	for i := range all {
		if s := &all[i]; s.Runs == 0 {
			why := s.Failure.Elsewhere
			if why == "" {
				why = "None of the houses of the usual fit has this part."
			}
			r.line("| **%s:** %s | %s | %s | %s |", s.Failure.Part, s.Failure.Fails, why, dash(codeList(s.Failure.Tests)), dash(s.Failure.Fit))
		}
	}
}

func codeList(names []string) string {
	var quoted []string
	for _, n := range names {
		quoted = append(quoted, "`"+n+"`")
	}
	return strings.Join(quoted, ", ")
}
