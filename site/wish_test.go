package site

import (
	"errors"
	"reflect"
	"strings"
	"testing"
)

// TestBadWishes holds the messages of every bad wish against those that stand
// beside it.
func TestBadWishes(t *testing.T) {
	golden(t, "testdata/wish/*.toml", func(t *testing.T, file string) string {
		_, err := LoadWish(file)
		var mistakes *Mistakes
		if !errors.As(err, &mistakes) {
			t.Fatalf("the file is read without a mistake: %v", err)
		}
		return mistakes.Error()
	})
}

// TestWishStarter takes the # away from every key that may be left out: defaults
// and examples must be right as they stand, and the defaults must change nothing.
func TestWishStarter(t *testing.T) {
	plain, err := ParseWish("wish.toml", []byte(WishStarter()))
	if err != nil {
		t.Fatal(err)
	}
	if len(plain.House.Advice) > 0 {
		t.Errorf("advice on the starter file: %s", Lines(plain.House.Advice))
	}
	var open strings.Builder
	for line := range strings.Lines(WishStarter()) {
		if rest, optional := strings.CutPrefix(line, "#"); optional && !strings.HasPrefix(rest, " ") && strings.TrimSpace(rest) != "" && !strings.HasPrefix(rest, "profile") {
			line = rest
		}
		open.WriteString(line)
	}
	all, err := ParseWish("wish.toml", []byte(open.String()))
	if err != nil {
		t.Fatal(err)
	}
	if len(all.Roof.Horizon) != 3 || len(all.Roof.ShadePercent) != 12 || all.Prices.Budget.Amount == 0 {
		t.Errorf("the examples were not read: %+v, %+v", all.Roof, all.Prices)
	}
	all.Roof.Horizon, all.Roof.ShadePercent, all.Prices.Budget = nil, nil, Money{} // examples, not defaults
	for _, part := range []struct{ got, want any }{{all.Roof, plain.Roof}, {all.Collector, plain.Collector}, {all.Choices, plain.Choices}, {all.Prices, plain.Prices}} {
		if !reflect.DeepEqual(part.got, part.want) {
			t.Errorf("written: %+v, left out: %+v", part.got, part.want)
		}
	}
	everyKey(&wishSchema, "", func(_ *table, name string, k *key) {
		if !strings.Contains(WishStarter(), k.name+" = ") {
			t.Errorf("the starter file has no %s", name)
		}
	})
}

func TestInventedPricesAreKnown(t *testing.T) {
	prices := func(edit ...string) []string {
		wish, err := ParseWish("wish.toml", []byte(strings.NewReplacer(edit...).Replace(WishStarter())))
		if err != nil {
			t.Fatal(err)
		}
		return wish.Prices.Invented
	}
	all := prices()
	if len(all) != 1+len(wishPrices)-1 { // electricity on top, and no budget
		t.Errorf("%d invented prices: %v", len(all), all)
	}
	if got := prices(`tank = "450 EUR"`, `tank = "451 EUR"`); len(got) != len(all)-1 {
		t.Errorf("with one price of one's own these are invented: %v", got)
	}
}

// TestAntifreezeKeepsItsMargin: what is chosen for a place gives no advice in its
// site file, and but in the coldest places no word of frost in its coldest night.
func TestAntifreezeKeepsItsMargin(t *testing.T) {
	for coldestC := -44.0; coldestC <= 30; coldestC++ {
		percent, err := Antifreeze(coldestC)
		if err != nil {
			t.Fatal(err)
		}
		if coldestC >= NightSkyK {
			if percent != 0 {
				t.Errorf("%g °C: %g %% where water does", coldestC, percent)
			}
			continue
		}
		s := System{Glycol: true, AntifreezePercent: percent}
		fluid, err := s.LoopFluid()
		if err != nil {
			t.Fatal(err)
		}
		least := coldestC - 10 // a clear sky, and the margin
		if coldestC < -38 {
			least = coldestC - 5
		}
		if begins := fluid.FreezingPointC(); begins > least {
			t.Errorf("%g °C: %g %% begins to freeze at %.1f °C", coldestC, percent, begins)
		}
	}
	if _, err := Antifreeze(-49); err == nil {
		t.Error("a mixture was found for -49 °C")
	}
}

func FuzzParseWish(f *testing.F) {
	f.Add([]byte(WishStarter()))
	f.Add([]byte("[roof]\nhorizon = \"1 ° at 2 °\"\n[prices]\nbudget = \"1 EUR\""))
	f.Fuzz(func(t *testing.T, data []byte) {
		if wish, err := ParseWish("wish.toml", data); (wish == nil) == (err == nil) {
			t.Errorf("a wish and an error, or none: %v, %v", wish, err)
		}
	})
}
