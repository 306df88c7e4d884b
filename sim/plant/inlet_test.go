package plant

import (
	"math"
	"testing"
)

// Exact: the stirred part is emptied as exp(-V/Vs) (as in tank_mixed_other.json
// for a whole tank), what lies above comes first and unchanged.
func TestInletJetStirsItsShare(t *testing.T) {
	for _, share := range []float64{0, 0.25, 0.5, 1} {
		for _, parts := range []int{1, 10, 400} {
			c := Typical()
			c.TankUAWK, c.TankConductivityWmK, c.TemperingC, c.StartC = 0, 0, 0, 60
			c.TankLitres, c.Layers, c.InletMixing = 300, 60, share
			p := build(t, c)
			const drawn = 250.0
			deliveredJ := 0.0
			for range parts {
				deliveredJ += p.Tap(Draw{Litres: drawn / float64(parts), TapC: 99}, 10).DeliveredJ
			}
			stirred, above := share*300, (1-share)*300
			want := drawn // litres at the full difference
			if drawn > above {
				want = above + stirred*-math.Expm1(-(drawn-above)/math.Max(stirred, 1e-9))
			}
			// Travelling cells leave the stirred part one by one: half of one is the
			// error of its size.
			near(t, "heat delivered", deliveredJ/(WaterJKgK*50), want, 0.025*want)
			near(t, "imbalance", p.Book().ImbalanceJ(), 0, 1e-9*p.storedJ()*10)
		}
	}
}
