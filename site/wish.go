package site

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
)

// Wish is what a house wants of a solar water heater that is still to be chosen,
// as its file describes it: the house, its roof, what may be fitted, what it
// costs. It is not changed after [ParseWish] and may be shared.
type Wish struct {
	// House has the name, the place, the household and the surroundings of a site,
	// and the price of electricity. It has no systems.
	House     *Site
	Roof      Roof
	Collector Module
	Choices   Choices
	Prices    Prices
}

// Roof is where collectors may lie.
type Roof struct {
	TiltDeg      float64 // 0 level, 90 upright
	DirectionDeg float64 // where it looks to, clockwise from north
	MostAreaM2   float64 // of all collectors
	Horizon      []HorizonPoint
	ShadePercent []float64 // of the sun's beam that trees and neighbours take, January to December; empty for none
	PipeM        float64   // from collectors to tank, one way
	HeightM      float64   // of the collectors above the tank, in a pumped loop
}

// HorizonPoint is how high what stands before the collectors reaches in one
// direction.
type HorizonPoint struct{ DirectionDeg, HeightDeg float64 }

// Module is one collector of those that the field is made of. Its curve, that of
// a square metre, stands in Collector; its direction and tilt are the roof's.
type Module struct {
	Collector // AreaM2 is that of one module
	ContentL  float64
}

// Choices bound what is tried.
type Choices struct {
	Pumped, Natural bool
	Store           Store
	TanksL          []float64
	MostSystems     int
	Recovery        time.Duration // in which the heater makes its part of a cold tank hot
}

// Prices are all in one currency. The price of electricity is the house's own.
type Prices struct {
	Budget        Money // none when it is of no currency
	Tank          Money // of each, with its heater, without the litres
	TankLitre     Money
	CollectorM2   Money
	Pumped        Money // all else of a pumped system, work included
	Natural       Money // and of one of natural circulation
	House         Money // what a house needs once, however many systems
	YearlyService Money // of each system
	Years         int   // that it is to last

	Invented []string // the keys that still hold the figures that we made up
}

// Money is an amount in a currency.
type Money struct {
	Amount   float64
	Currency string
}

// LoadWish reads the file of a wish. The error is a *Mistakes.
func LoadWish(path string) (*Wish, error) { return load(path, ParseWish) }

// ParseWish is [Parse] for a wish: as strict, and it reports as much.
func ParseWish(fileName string, data []byte) (*Wish, error) {
	w := newWalker(fileName, &wishSchema)
	raw, ok := w.read(data)
	if !ok {
		return nil, w.fail()
	}
	wish := &Wish{House: w.site}
	w.walk(w.root, "", "", raw, true, target{site: w.site, wish: wish})
	w.checkPlace()
	w.checkWish(wish)
	if len(w.mistakes) > 0 {
		return nil, w.fail()
	}
	w.site.Advice = inOrder(w.advice)
	return wish, nil
}

// WishStarter gives a wish to begin with, as [Starter] gives a site.
func WishStarter() string {
	s := newStarter()
	s.comment("The wish of a house: what the command \"size\" needs to know to try out tanks and collectors.")
	s.comment("")
	s.howToRead()
	s.comment("All prices are invented. Put the ones of your own market in their place, or what is said of money is worth nothing.")
	s.table(&wishSchema, "")
	return strings.TrimLeft(s.text.String(), "\n")
}

// checkWish looks at what the keys of a wish mean together.
func (w *walker) checkWish(wish *Wish) {
	w.checkCurrencies(wish)
	if w.sound["roof.most_area"] && w.sound["collector.module"] && wish.Roof.MostAreaM2 < wish.Collector.AreaM2 {
		w.wrong("roof.most_area", w.where("roof.most_area"), fmt.Sprintf("not even one module of %g m² fits on %g m²", wish.Collector.AreaM2, wish.Roof.MostAreaM2),
			"write the room that there is on the roof, or smaller modules")
	}
	if w.sound["choices.store"] && w.sound["choices.loop"] && wish.Choices.Store == LoopFluid && wish.Choices.Pumped {
		w.wrong("choices.store", w.at("choices.store"), "a store of loop fluid is open to the air, and the pumped loops of this file are closed", `write loop = "natural" with it, or store = "drinking water"`)
	}
	if w.sound["place.coldest"] {
		if _, err := Antifreeze(wish.House.ColdestC); err != nil {
			w.wrong("place.coldest", w.at("place.coldest"), fmt.Sprintf("no mixture of propylene glycol bears %g °C with a margin of %g K", wish.House.ColdestC, control.DefaultSettings().FreezeWarningMarginK), "ask the fluid's maker for a mixture for such nights")
		}
	}
}

// checkCurrencies sees that all prices are in one currency, those that are left
// out with them, and gathers which are still the invented ones.
func (w *walker) checkCurrencies(wish *Wish) {
	currency := wish.House.Electricity.Currency
	if !w.sound["prices.electricity"] {
		return
	}
	if wish.House.Electricity == inventedElectricity {
		wish.Prices.Invented = append(wish.Prices.Invented, "electricity")
	}
	for _, p := range wishPrices {
		path, money := "prices."+p.name, *p.of(&wish.Prices)
		if !w.sound[path] || money.Currency == "" { // no budget
			continue
		}
		if p.def != "" && money == mustMoney(p.def) {
			wish.Prices.Invented = append(wish.Prices.Invented, p.name)
		}
		switch {
		case money.Currency == currency:
		case w.written(path):
			w.wrong(path, w.at(path), fmt.Sprintf("this is in %s, and electricity is in %s", money.Currency, currency), "write all prices in one currency")
		default:
			w.wrong(path, w.where("prices"), fmt.Sprintf("this key is missing, and its invented figure is in %s while electricity is in %s", money.Currency, currency),
				"write it under [prices] in "+currency)
		}
	}
}

// tanksOf reads a list of tanks.
func tanksOf(text string) ([]float64, error) {
	list, ends := strings.CutSuffix(text, " l")
	if !ends {
		return nil, fmt.Errorf("%q does not end with l", text)
	}
	var tanks []float64
	for part := range strings.SplitSeq(list, ",") {
		litres, known := plainFigure(strings.TrimSpace(part), mostTankL)
		if !known || litres < leastTankL {
			return nil, fmt.Errorf("%q is no tank from %d to %d l", strings.TrimSpace(part), leastTankL, mostTankL)
		}
		tanks = append(tanks, litres)
	}
	slices.Sort(tanks)
	if len(tanks) > mostTanks {
		return nil, fmt.Errorf("there are %d tanks", len(tanks))
	}
	return slices.Compact(tanks), nil
}

// horizonOf reads what stands before the collectors.
func horizonOf(text string) ([]HorizonPoint, error) {
	var points []HorizonPoint
	for part := range strings.SplitSeq(text, ",") {
		height, direction, found := strings.Cut(strings.TrimSpace(part), " at ")
		p := HorizonPoint{}
		var known, sound bool
		p.HeightDeg, known = plainFigure(strings.TrimSuffix(height, " °"), 90)
		p.DirectionDeg, sound = plainFigure(strings.TrimSuffix(direction, " °"), 360)
		if !found || !known || !sound {
			return nil, fmt.Errorf("%q is no height at a direction", strings.TrimSpace(part))
		}
		points = append(points, p)
	}
	return points, nil
}

// leastMixture protects against corrosion too. Common practice, no source.
const leastMixture = 25

// Antifreeze is the share of propylene glycol, percent by volume, that a loop is
// filled with where the coldest night is so cold: 0 where water does. A collector
// under a clear sky is colder than that night, and the usual margin lies below it:
// with less the program would tell of frost in each such night. Where no mixture goes
// that far, the margin lies below the night, as [Site.Advice] asks. One percent is
// added, and no less is filled in than keeps its inhibitors strong.
func Antifreeze(coldestC float64) (percent float64, err error) {
	if coldestC >= NightSkyK {
		return 0, nil
	}
	night := coldestC - control.DefaultSettings().FreezeWarningMarginK
	if percent, err = mixtureFor(night - NightSkyK); err != nil {
		percent, err = mixtureFor(night)
	}
	return max(percent, leastMixture), err
}
