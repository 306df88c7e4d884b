package plant

import (
	"math"
	"testing"
)

// TestHeatDumpGivesTheSunToTheAir: in steady sun, all that the collector does
// not lose goes through the radiator, at the rate of its own equation, and
// nothing into the tank. Effectiveness 1 - exp(-UA/(m cp)): Incropera and
// DeWitt, heat exchangers, one fluid of unlimited capacity.
func TestHeatDumpGivesTheSunToTheAir(t *testing.T) {
	c := Typical()
	c.HeatDumpWK, c.StartC = 40, 70
	p, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	p.SetHeatDump(true)
	p.SetPump(1)
	sun := Surroundings{AbsorbableWM2: 900, AirC: 30, RoomC: 70}
	for range 6 * 360 {
		p.Step(&sun, 10)
	}
	before := p.Book()
	p.Step(&sun, 10)
	after, truth := p.Book(), p.Truth()
	if toTank := after.LoopToTankJ; toTank != 0 {
		t.Errorf("%g J went into the tank", toTank)
	}
	rate := p.loop.flow.rateWK
	want := rate * (truth.CoilSupplyC - 30) * -math.Expm1(-40/rate)
	if got := (after.DumpJ - before.DumpJ) / 10; math.Abs(got-want) > 0.005*want || got < 1000 {
		t.Errorf("%g W are dumped, %g W follow from the equation", got, want)
	}
	if truth.CollectorC > 110 {
		t.Errorf("the collector is at %g degC in spite of it", truth.CollectorC)
	}

	p.Damage.HeatDumpStuck = true
	for range 360 {
		p.Step(&sun, 10)
	}
	if p.Book().LoopToTankJ <= 0 || p.Book().DumpJ != after.DumpJ {
		t.Error("a stuck valve leads through the coil")
	}

	p.SetHeatDump(false)
	p.Damage.HeatDumpStuck, p.Damage.HeatDumpOpen = false, true
	before = p.Book()
	for range 360 {
		p.Step(&sun, 10)
	}
	if p.Book().LoopToTankJ != before.LoopToTankJ || p.Book().DumpJ <= before.DumpJ {
		t.Error("a valve that is stuck open leads through the dump, though it is told to close")
	}
	if off := p.Book().ImbalanceJ(); math.Abs(off) > 1 {
		t.Errorf("the book is out by %g J", off)
	}
}
