package letter

import (
	"context"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/planner/handover"
	"sunstoker/planner/paper/papertest"
	"sunstoker/planner/recorded"
	"sunstoker/site"
)

var update = flag.Bool("update", false, "write the expected letters anew")

func golden(t *testing.T, name, got string) {
	t.Helper()
	papertest.Kept(t, filepath.Join("testdata", name), got, *update)
}

// house is one of the invented houses with a price, a plan and dates of service,
// and a history of some days of 2026.
func house(t *testing.T, name string, more []site.Edit, spans ...recorded.Span) *site.Site {
	t.Helper()
	s, err := recorded.House(t.TempDir(), name)
	if err == nil {
		s, err = s.With(more...)
	}
	if err == nil {
		err = recorded.Write(s, spans...)
	}
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// inMonths are spans of a few days in each of some months of 2026.
func inMonths(zone string, length time.Duration, months ...time.Month) (spans []recorded.Span) {
	at, _ := time.LoadLocation(zone)
	for i, m := range months {
		spans = append(spans, recorded.Span{From: time.Date(2026, m, 10, 0, 0, 0, 0, at), Length: length, Seed: uint64(i)})
	}
	return spans
}

func letterOf(t *testing.T, s *site.Site, year int) *Letter {
	t.Helper()
	r, err := history.Open(s.History.Folder)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	l, err := Read(context.Background(), r, s, year)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func winter(t *testing.T) *site.Site {
	spans := inMonths("Europe/Zurich", 36*time.Hour, 1, 5, 7, 11)
	spans[1].Faults = []string{"probe missing at 4h for 6h probe tank bottom"}
	spans[3].Faults = []string{"probe missing at 2h for 1h probe tank bottom", "probe missing at 12h for 1h probe tank bottom"}
	s := house(t, recorded.Winter, []site.Edit{site.SetKey("electricity", "price", `"0.27 CHF"`)}, spans...)
	s.Systems[0].PromisedKWh = []float64{60, 90, 150, 190, 210, 215, 230, 210, 170, 120, 70, 50}
	s.Systems[0].Serviced = site.Serviced{FluidFilled: time.Date(2023, 5, 3, 0, 0, 0, 0, time.UTC), AnodeChecked: time.Date(2026, 4, 22, 0, 0, 0, 0, time.UTC)}
	return s
}

func highland(t *testing.T) *site.Site {
	spans := inMonths("America/Guayaquil", 36*time.Hour, 2, 4, 8)
	spans[1].Faults = []string{"heater element open at 1h system kitchen"}
	return house(t, recorded.Highland, nil, spans...)
}

func TestLetters(t *testing.T) {
	for name, make := range map[string]func(*testing.T) *site.Site{"winter": winter, "highland": highland} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			l := letterOf(t, make(t), 0)
			write(t, name, l)
		})
	}
}

// TestAWholeYear writes the letter of a year that was watched from beginning to end
// in a house where much has gone wrong, from figures made up for it: as full as a
// letter gets.
func TestAWholeYear(t *testing.T) {
	s, err := recorded.House(t.TempDir(), recorded.Highland)
	if err != nil {
		t.Fatal(err)
	}
	s.Electricity = site.Price{PerKWh: 0.1, Currency: "USD"}
	l := &Letter{site: s, year: 2025, begin: time.Date(2025, 1, 1, 0, 0, 0, 0, s.Zone), end: time.Date(2026, 1, 1, 0, 0, 0, 0, s.Zone), sunCounted: true}
	l.first, l.last = l.begin, l.end
	for i := range l.months {
		m := &l.months[i]
		m.begin, m.end = time.Date(2025, time.Month(i+1), 1, 0, 0, 0, 0, s.Zone), time.Date(2025, time.Month(i+2), 1, 0, 0, 0, 0, s.Zone)
		m.sun, m.meter, m.pumps, m.promised, m.watched = float64(180+10*(i%4)), float64(30+5*(i%3)), 2, 195, m.end.Sub(m.begin)
	}
	for begin := l.begin; begin.Before(l.end); begin = begin.AddDate(0, 0, 1) {
		l.days = append(l.days, day{begin, begin.AddDate(0, 0, 1), 24 * time.Hour})
	}
	l.months[1].watched, l.days[40].watched = 20*24*time.Hour, 0
	l.cold = []coldDays{{system: "rooms", tapC: 40, cold: 12, lookedAt: 365, worst: 8, in: time.July}, {system: "kitchen", tapC: 42, lookedAt: 365}}
	for i, k := range control.FindingKinds() {
		if i%9 != 0 {
			continue
		}
		e := history.Event{Kind: history.Raised, Time: l.begin.AddDate(0, 0, 4*i).UTC(), Sure: true, System: "kitchen", Part: "tank_top", What: history.Name{Key: k.String(), Words: k.Title()}, Says: history.Name{Key: "test", Words: "what was seen of it, {0 °C}"}, Values: [3]float64{float64(i)}}
		l.spells = append(l.spells, history.Spell{Raised: e, Newest: e, Until: e.Time.AddDate(0, 0, 3), Sure: true})
	}
	l.handed = handover.Dates{NextService: time.Date(2026, 4, 9, 0, 0, 0, 0, time.UTC), Antifreeze: []time.Time{time.Date(2024, 4, 10, 0, 0, 0, 0, time.UTC), {}}}
	l.spells[1].Until, l.spells[2].Sure = time.Time{}, false
	papertest.PrintsOn(t, 1, write(t, "whole-year", l))
}

// TestWhatCantBeTold: without the probes and the figures that it takes, the letter
// says so.
func TestWhatCantBeTold(t *testing.T) {
	s, err := recorded.House(t.TempDir(), recorded.Winter)
	if err != nil {
		t.Fatal(err)
	}
	l := &Letter{site: s, year: 2025, begin: time.Date(2025, 1, 1, 0, 0, 0, 0, s.Zone), end: time.Date(2026, 1, 1, 0, 0, 0, 0, s.Zone)}
	l.first, l.last, l.days = l.begin, l.end, []day{{l.begin, l.end, l.end.Sub(l.begin)}}
	for _, want := range []string{
		"How much the sun brought can't be told: it takes probes", "so nothing is said of money", "No plan stands in the site file",
		"No day had enough readings", "Nothing.", "no date known, ask your installer",
	} {
		var text strings.Builder
		if err := l.WritePlain(&text); err != nil || !strings.Contains(strings.Join(strings.Fields(text.String()), " "), want) {
			t.Errorf("%v: %q is not in\n%s", err, want, text.String())
		}
	}
}

// TestYearsWithoutHistory: each says what there is instead.
func TestYearsWithoutHistory(t *testing.T) {
	s := house(t, recorded.Winter, nil, recorded.Span{From: time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), Length: time.Hour})
	for year, want := range map[int]string{
		2025: "the history holds nothing of 2025: it begins on 3 May 2026; choose another year with --year",
		2027: "the history holds nothing of 2027: it was written last before that on 3 May 2026; choose another year with --year",
	} {
		if err := Write(context.Background(), s, Options{Year: year}, &strings.Builder{}); err == nil || err.Error() != want {
			t.Errorf("%d: %v, want %q", year, err, want)
		}
	}
	s.History.Folder = t.TempDir()
	if err := Write(context.Background(), s, Options{}, &strings.Builder{}); !errors.Is(err, history.ErrNone) {
		t.Errorf("%v, want it to say that there is no history", err)
	}
}

// TestTheTurnOfTheYear: a year that was watched before and after has no beginning and
// no end of its own, and what stood over the turn is told as far as it lies in it.
func TestTheTurnOfTheYear(t *testing.T) {
	silent := []string{"probe missing at 30m for 60m probe tank bottom"}
	s := house(t, recorded.Winter, nil,
		recorded.Span{From: time.Date(2025, 12, 31, 22, 0, 0, 0, time.UTC), Length: 2 * time.Hour, Faults: silent},
		recorded.Span{From: time.Date(2027, 1, 2, 0, 0, 0, 0, time.UTC), Length: time.Hour})
	l := letterOf(t, s, 2026)
	if !l.first.Equal(l.begin) || !l.last.Equal(l.end) || len(l.days) != 365 {
		t.Errorf("from %v to %v, %d days", l.first, l.last, len(l.days))
	}
	list := l.troubles()
	if len(list) != 1 || !list[0].from.Equal(l.begin) || list[0].length > time.Hour {
		t.Errorf("%+v, want a probe that was silent from the first minute of the year on", list)
	}
	if got, want := l.span(), "In 2026"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if l := letterOf(t, s, 0); l.year != 2027 || !l.first.Equal(l.begin) {
		t.Errorf("%d from %v", l.year, l.first)
	}
}

// TestReport: the page is written whole, and a name that can't be is refused before.
func TestReport(t *testing.T) {
	s := house(t, recorded.Winter, nil, recorded.Span{From: time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), Length: time.Hour})
	path := filepath.Join(t.TempDir(), "letter.html")
	if err := Write(context.Background(), s, Options{Report: path}, &strings.Builder{}); err != nil {
		t.Fatal(err)
	}
	if page, err := os.ReadFile(path); err != nil || !strings.Contains(string(page), "</html>") {
		t.Errorf("%v: %s", err, page)
	}
	if err := Write(context.Background(), s, Options{Report: "/nowhere/letter.html"}, &strings.Builder{}); err == nil || !strings.Contains(err.Error(), "give a name in a folder that exists") {
		t.Errorf("%v", err)
	}
}

// TestAHouseNamedInMarkup: what somebody typed does not become markup.
func TestAHouseNamedInMarkup(t *testing.T) {
	s := house(t, recorded.Winter, nil, recorded.Span{From: time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC), Length: time.Hour})
	s.Name, s.Electricity = "<b>Mine</b> & yours", site.Price{PerKWh: 1, Currency: "<i>"}
	var page strings.Builder
	if err := letterOf(t, s, 0).WriteHTML(&page); err != nil || strings.Contains(page.String(), "<b>Mine") || strings.Contains(page.String(), "<i>") {
		t.Errorf("%v: a name became markup", err)
	}
}

func TestSince(t *testing.T) {
	l := &Letter{last: time.Date(2026, 12, 31, 23, 59, 0, 0, time.UTC)}
	for day, want := range map[string]string{
		"2026-12-15": "15 December 2026, less than a month ago", "2026-03-31": "31 March 2026, 9 months ago",
		"2025-12-31": "31 December 2025, 12 months ago, and so it is due", "2023-01-01": "1 January 2023, 3 years ago, and so it is due",
		"2027-01-01": "1 January 2027, which lies after this letter's end",
	} {
		at, _ := time.Parse(time.DateOnly, day)
		if got := l.since(at, 12); got != want {
			t.Errorf("%s: %q, want %q", day, got, want)
		}
	}
}

// write holds both forms of a letter against what is expected.
func write(t *testing.T, name string, l *Letter) (page string) {
	t.Helper()
	var text, html strings.Builder
	if err := l.WritePlain(&text); err != nil {
		t.Fatal(err)
	}
	golden(t, name+".txt", text.String())
	if err := l.WriteHTML(&html); err != nil {
		t.Fatal(err)
	}
	golden(t, name+".html", html.String())
	return html.String()
}

// TestWhatIsGoodToKnowIsNotWrong: a collector that is too hot to be pumped is told, and
// counts as nothing wrong.
func TestWhatIsGoodToKnowIsNotWrong(t *testing.T) {
	spell := func(kind control.FindingKind) history.Spell {
		sp := history.Spell{}
		sp.Raised.What.Key = kind.String()
		return sp
	}
	l := &Letter{site: &site.Site{Zone: time.UTC}, spells: []history.Spell{spell(control.FoundStagnation), spell(control.FoundStagnation)}}
	said := func() (last figure, told string) {
		list := l.figures()
		return list[len(list)-1], strings.Join(l.broke(), "\n")
	}
	if last, told := said(); last.value != "nothing" || strings.Count(told, "Good to know: ") != 1 {
		t.Errorf("%v; %s", last, told)
	}
	l.spells = append(l.spells, spell(control.FoundProbeSilent))
	if last, _ := said(); last.value != "once" {
		t.Errorf("of a silent probe: %v", last)
	}
	l.spells = append(l.spells, spell(control.FoundProbeSilent))
	if last, told := said(); last.value != "2" || strings.HasPrefix(told, "Good to know") {
		t.Errorf("of two times: %v; %s", last, told)
	}
}
