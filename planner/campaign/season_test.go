package campaign

import (
	"slices"
	"testing"
)

// TestSlowFailuresAreToldAfterWeeks: in the usual house, within a long run in which
// anything is lost by them, and never to a house that is sound; the whole campaign
// tries all houses, and the winter.
func TestSlowFailuresAreToldAfterWeeks(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	var w twins
	usual := houses(t)[0] // twins are kept by their house
	for i := range failures {
		f := &failures[i]
		if !f.Slow {
			continue
		}
		for _, s := range f.Switches {
			trial := seasonTrial(usual, &seasons[0], s)
			res, err := w.try(f, trial)
			if err != nil {
				t.Fatal(err)
			}
			if res.Verdict >= Unheard {
				t.Errorf("%s: %s, told %v after %s: %v", s, res.Verdict, res.Told, about(res.After), res.Hazards)
			}
			sound, err := w.of(trial)
			if err != nil {
				t.Fatal(err)
			}
			if res.Told && slices.ContainsFunc(sound.spans, func(sp span) bool { return sp.kind.String() == res.Key }) {
				t.Errorf("%s: the sound house is told of %s too", s, res.Key)
			}
		}
	}
}

// TestToldAfterWeeks: each switch must be told of in one long run, and no long run
// may lose anything without a word.
func TestToldAfterWeeks(t *testing.T) {
	f := Failure{Sight: Compared, Tells: []string{"yield_poor"}, Switches: []Switch{{Kind: "shade on the collector"}, {Kind: "snow on the collector"}}}
	result := func(sc *Scene, s int, v Verdict) Result {
		return Result{Failure: &f, Trial: Trial{House: &House{}, Scene: sc, Faults: f.Switches[s : s+1]}, Verdict: v, Told: v == Told}
	}
	for _, c := range []struct {
		name string
		long []Result
		want Verdict
	}{
		{"never tried for long", nil, Unheard},
		{"both", []Result{result(&seasons[0], 0, Told), result(&seasons[0], 1, Told), result(&seasons[0], 1, NothingSeen)}, ToldLate},
		{"one alone", []Result{result(&seasons[0], 0, Told), result(&seasons[0], 1, NothingSeen)}, Unheard},
		{"lost in one house", []Result{result(&seasons[0], 0, Told), result(&seasons[0], 1, Told), result(&seasons[0], 1, Unheard)}, Unheard},
		{"worse", []Result{result(&seasons[0], 0, Told), result(&seasons[0], 1, Told), result(&seasons[0], 1, Open)}, Open},
	} {
		s := summaryOf(&f, append(c.long, result(&scenes[0], 0, Unheard)))
		if s.Verdict != c.want || c.want != Open && s.Runs != 1 {
			t.Errorf("%s: %s in %d runs, want %s", c.name, s.Verdict, s.Runs, c.want)
		}
	}
}
