package plant

import (
	"math"
	"testing"
)

// Source: plug flow along a plate with loss, exactly: the weight of the entering
// fluid in the mean is 1/x - 1/(exp x - 1) with x = UA/(m cp); in strong flow a
// half, the mean of inlet and outlet as ISO 9806 has it. The rational form that
// is used lies a tenth below at most.
func TestMeanOfACollectorCell(t *testing.T) {
	field := newCollector(Typical())
	lossWK := field.a1WK + 40*field.a2WK2
	for _, x := range []float64{0.01, 0.05, 0.2, 1, 3} {
		field.setFlow(lossWK / x)
		exact := 1/x - 1/math.Expm1(x)
		near(t, "weight of the entering fluid", field.upstream, exact, math.Min(0.1, 0.2*x))
	}
	field.setFlow(1e9)
	near(t, "weight in strong flow", field.upstream, 0.5, 1e-6)
}

// A collector colder than the air is warmed by it. The curve of ISO 9806 was
// measured above the air alone; below it the growth of the loss is left out, so
// that cold does not insulate. Source: Newton's law, a plate of one capacity.
func TestCollectorColderThanTheAir(t *testing.T) {
	const airC, belowK, seconds = 0.0, 30.0, 1800
	c := Typical()
	field := newCollector(c)
	for i := range field.cellC {
		field.cellC[i] = airC - belowK
	}
	gainJ := 0.0
	for range seconds {
		gainJ -= field.rest(0, airC, 1)
	}
	want := airC - belowK*math.Exp(-c.Collector.A1WM2K*seconds/c.Collector.CapacityJM2K)
	near(t, "cold collector", field.meanC(), want, 0.02)
	near(t, "heat from the air in J", gainJ, c.Collector.CapacityJM2K*c.Collector.AreaM2*(want-airC+belowK), 500)
}
