package control

import (
	"math"
	"slices"
	"testing"
	"time"
)

// thousandLayers are figures of a small tank that can be reckoned by head: 1000 J
// heat a layer by one kelvin. The heater is in the sixth layer, the probes are in
// the ninth and third, and the coil ends in the fifth.
var thousandLayers = tankFigures{layerJK: 1000, lossWK: 2, heaterAt: 5, topAt: 8, bottomAt: 2, coilTop: 4}

// even is a tank of one temperature.
func even(c float64) layersC { return edged(0, c, c) }

// edged is a tank with so many cold layers below hot ones.
func edged(cold int, coldC, hotC float64) (l layersC) {
	for i := range l {
		l[i] = hotC
		if i < cold {
			l[i] = coldC
		}
	}
	return l
}

func wantLayers(t *testing.T, what string, got, want layersC) {
	t.Helper()
	for i := range got {
		if !(math.Abs(got[i]-want[i]) <= 1e-9) {
			t.Errorf("%s: layers %.4g, want %.4g", what, got, want)
			return
		}
	}
}

func TestHeightsInTheTankBecomeLayers(t *testing.T) {
	plain := System{TankL: 200, TankLossWK: 2.5, HeaterW: 1500}
	for _, c := range []struct {
		what                                string
		heater, top, bottom                 float64
		heaterAt, topAt, bottomAt, coilTops int
	}{
		{"what is usual where nothing is said", 0, 0, 0, 6, 8, 2, 4},
		{"what the site says", 0.35, 0.95, 0.05, 3, 9, 0, 4},
		{"the lid and nearly the floor", 1, 1, 0.01, 9, 9, 0, 4},
		{"the lower probe entered above the upper one counts as beside it", 0.5, 0.35, 0.75, 5, 3, 3, 4},
	} {
		s := plain
		s.HeaterHeight, s.TopProbeHeight, s.BottomProbeHeight = c.heater, c.top, c.bottom
		want := tankFigures{layerJK: 20 * waterJLK, lossWK: 0.25, heaterAt: c.heaterAt, topAt: c.topAt, bottomAt: c.bottomAt, coilTop: c.coilTops, heaterW: 1500}
		if got := tankFiguresOf(&s); got != want {
			t.Errorf("%s: %+v, want %+v", c.what, got, want)
		}
	}
}

// TestHeatInThePictureRises: what the heater and the coil bring goes up through
// the colder water above, and not down.
func TestHeatInThePictureRises(t *testing.T) {
	l := even(40)
	l.heat(&thousandLayers, 5, 5000)
	wantLayers(t, "5 kJ under five layers", l, edged(5, 40, 41))
	l = edged(6, 40, 50)
	l.heat(&thousandLayers, 5, 5000)
	wantLayers(t, "a layer heated by 5 K that stays below hotter ones", l, layersC{40, 40, 40, 40, 40, 45, 50, 50, 50, 50})
	l = even(40)
	l.heat(&thousandLayers, 9, 3000)
	wantLayers(t, "heat at the very top", l, edged(9, 40, 43))

	l = edged(5, 20, 50)
	l.sun(&thousandLayers, 5000)
	wantLayers(t, "5 kJ of sun along five layers", l, edged(5, 21, 50))
	l = even(40)
	l.sun(&thousandLayers, 5000)
	wantLayers(t, "5 kJ of sun in a tank of one temperature", l, even(40.5))
}

// TestDrawsInThePicture: a draw takes so much water as has its heat, at the
// temperature of the top or of the tap, whichever is higher.
func TestDrawsInThePicture(t *testing.T) {
	for _, c := range []struct {
		what                string
		heatJ, coldC, wantC float64
		from, to            layersC
	}{
		{"50 kJ at 50 K are a layer", 50e3, 10, 40, edged(3, 20, 60), layersC{10, 20, 20, 20, 60, 60, 60, 60, 60, 60}},
		{"of colder water the tap takes what it would of warm", 60e3, 10, 40, edged(9, 20, 30), layersC{10, 10, 20, 20, 20, 20, 20, 20, 20, 20}},
		{"no draw", 0, 10, 40, edged(3, 20, 60), edged(3, 20, 60)},
		{"more than there is empties the tank", 5e6, 10, 40, even(60), even(10)},
		{"at 1 K above the mains nothing can be drawn", 10e3, 10, 11, even(11), even(11)},
		{"nor below it", 10e3, 10, 5, even(9), even(9)},
		{"at 5/4 K it can", 1.25e3, 10, 11.25, even(11.25), edged(1, 10, 11.25)},
	} {
		l := c.from
		l.draw(&thousandLayers, c.heatJ, c.coldC, c.wantC)
		wantLayers(t, c.what, l, c.to)
	}
}

// TestThePictureCools: 2 W/K for 100 s are 200 J/K of the 1000 of a layer, a
// fifth of its distance from a room of 20 °C.
func TestThePictureCools(t *testing.T) {
	l := edged(5, 10, 70)
	l.cool(&thousandLayers, 100)
	wantLayers(t, "100 s", l, edged(5, 12, 60))
	l.cool(&thousandLayers, 1e6)
	wantLayers(t, "days", l, even(20))
}

// TestHotAndMissingHeat: what can be drawn hot, and what the heater lacks.
func TestHotAndMissingHeat(t *testing.T) {
	for _, c := range []struct {
		what        string
		l           layersC
		hotJ, lackJ float64
	}{
		{"all hot", even(60), 10 * 50e3, 0},
		{"just as hot as wanted", even(40), 10 * 30e3, 5 * 10e3},
		{"a little colder", even(39.9), 0, 5 * 10.1e3},
		{"seven of ten hot", edged(3, 20, 45), 7 * 35e3, 5 * 5e3},
		{"hot below the edge counts no more", layersC{50, 50, 50, 50, 50, 50, 50, 30, 45, 45}, 2 * 35e3, 20e3 + 2*5e3},
	} {
		if got := c.l.hotJ(&thousandLayers, 10, 40); math.Abs(got-c.hotJ) > 1e-6 {
			t.Errorf("%s: %g J are hot, want %g", c.what, got, c.hotJ)
		}
		if got := c.l.lacksJ(&thousandLayers, 50); math.Abs(got-c.lackJ) > 1e-6 {
			t.Errorf("%s: the heater lacks %g J, want %g", c.what, got, c.lackJ)
		}
	}
}

// TestProbesPutThePictureRight: a straight line at first; then water above a
// probe is no colder than it, and water below no hotter.
func TestProbesPutThePictureRight(t *testing.T) {
	var l layersC
	l.straight(&thousandLayers, 50, 20)
	wantLayers(t, "a straight line", l, layersC{20, 20, 20, 25, 30, 35, 40, 45, 50, 50})
	l.straight(&thousandLayers, 20, 50)
	wantLayers(t, "probes upside down", l, even(50))
	beside := thousandLayers
	beside.topAt, beside.bottomAt = 3, 3
	l.straight(&beside, 50, 20)
	wantLayers(t, "both probes at one height", l, edged(4, 20, 50))

	l = even(35)
	l.seen(&thousandLayers, 50, 40)
	wantLayers(t, "a picture that is too cold", l, layersC{35, 35, 40, 40, 40, 40, 40, 40, 50, 50})
	l = even(60)
	l.seen(&thousandLayers, 50, 40)
	wantLayers(t, "a picture that is too hot", l, layersC{40, 40, 40, 50, 50, 50, 50, 50, 50, 60})
	l = even(45)
	l.seen(&thousandLayers, 30, 50)
	wantLayers(t, "probes upside down, on a picture", l, layersC{45, 45, 50, 50, 50, 50, 50, 50, 50, 50})
}

// TestAFallingProbeMovesTheEdge: cold water has come up to a probe that falls,
// by as many tenths of a layer as it takes, and by two layers in a look at most.
func TestAFallingProbeMovesTheEdge(t *testing.T) {
	sharp := edged(8, 10, 60) // the edge is right below the upper probe
	l := sharp
	l.pushUntil(8, 54, 10) // 60 - 0.1*50 is 55, then 55 - 0.1*45 is 50.5
	wantLayers(t, "two tenths", l, layersC{10, 10, 10, 10, 10, 10, 10, 10, 50.5, 59.5})
	l = sharp
	l.pushUntil(8, 60, 10)
	wantLayers(t, "a probe that has not fallen", l, sharp)
	l = sharp
	l.pushUntil(8, 0, 10) // never so cold: 20 tenths, each leaving 0.9 of what was above 10 °C
	if want := 10 + 50*math.Pow(0.9, 20); math.Abs(l[8]-want) > 1e-9 {
		t.Errorf("after the most that can be drawn in a look the upper probe's layer is at %g °C, want %g", l[8], want)
	}
}

// risen is what n tenths of a layer, drawn one after the other, make of a picture:
// how many layers the water has risen is a number of hits in n tries of 1/10.
func risen(from layersC, n int, coldC float64) (to layersC) {
	chance := math.Pow(0.9, float64(n))
	for k := 0; k <= n; k++ {
		for i := range to {
			if i >= k {
				to[i] += chance * from[i-k]
			} else {
				to[i] += chance * coldC
			}
		}
		chance *= float64(n-k) / float64(k+1) * 0.1 / 0.9
	}
	return to
}

// TestFilledToTheUpperProbe: a top that rises under the heater is the water down
// to the heater; what heat that leaves over was not in the water above either.
func TestFilledToTheUpperProbe(t *testing.T) {
	l := layersC{10, 20, 30, 35, 40, 45, 45, 45, 45, 55}
	l.filled(&thousandLayers, 50)
	wantLayers(t, "hotter than it was thought", l, layersC{10, 20, 30, 35, 40, 50, 50, 50, 50, 55})
	l = layersC{10, 20, 30, 35, 40, 52, 52, 50, 50, 55}
	l.filled(&thousandLayers, 50) // 4 K of a layer too much, which the top gives up
	wantLayers(t, "colder than it was thought", l, layersC{10, 20, 30, 35, 40, 50, 50, 50, 50, 51})
	low := thousandLayers
	low.topAt = 6
	l = layersC{10, 20, 30, 35, 40, 52, 52, 53, 58, 60}
	l.filled(&low, 50) // 4 K: 3 K out of the next layer, then 1 K out of the one above
	wantLayers(t, "given up from below", l, layersC{10, 20, 30, 35, 40, 50, 50, 50, 57, 60})
}

// TestLooksAtTheTank: what a look makes of the picture, with no loss to the room.
func TestLooksAtTheTank(t *testing.T) {
	f := thousandLayers
	f.lossWK = 0
	const kWhOf1kJ = 1.0 / 3600 // warms the five layers from the heater up by 0.2 K
	start := TankPicture{Known: true, Layers: edged(5, 20, 50), TopC: 50, MeterKWh: 2, UnseenKWh: 0.01}
	still := tankLook{topC: 50, bottomC: 20, coldC: 10, wantedC: 40, meterKWh: 2, span: time.Minute}
	look := func(change func(l *tankLook)) (p TankPicture) {
		p, l := start, still
		change(&l)
		p.follow(&f, &l)
		return p
	}
	for _, c := range []struct {
		what   string
		change func(l *tankLook)
		layers layersC
		unseen float64
	}{
		{"nothing", func(*tankLook) {}, edged(5, 20, 50), 0.01},
		{"the heater's 1 kJ", func(l *tankLook) { l.meterKWh += kWhOf1kJ }, layersC{20, 20, 20, 20, 20, 50, 50, 50, 50, 50.2}, 0.01},
		{"a meter that is back at nothing", func(l *tankLook) { l.meterKWh = 0 }, edged(5, 20, 50), 0.01},
		{"8 kJ drawn, a fifth of a layer", func(l *tankLook) { l.drawnKWh = 8.0 / 3600 }, layersC{18, 20, 20, 20, 20, 44, 50, 50, 50, 50}, 0.01 + 8.0/3600},
		{"the top rises under the heater", func(l *tankLook) { l.meterKWh, l.topC = l.meterKWh+kWhOf1kJ, 50.08 }, layersC{20, 20, 20, 20, 20, 50.08, 50.08, 50.08, 50.08, 50.08}, 0},
		{"the top rises by no more than is noise", func(l *tankLook) { l.meterKWh, l.topC = l.meterKWh+kWhOf1kJ, 50+filledRiseK }, layersC{20, 20, 20, 20, 20, 50.06, 50.06, 50.06, 50.06, 50.2}, 0.01},
		{"the top rises by itself", func(l *tankLook) { l.topC = 51 }, layersC{20, 20, 20, 20, 20, 50, 50, 50, 51, 51}, 0.01},
		{"the upper probe falls a little", func(l *tankLook) { l.topC = 49.75 }, layersC{20, 20, 20, 20, 20, 49.75, 49.75, 49.75, 49.75, 50}, 0.01},
		{"the upper probe falls by the border", func(l *tankLook) { l.topC = start.Layers[8] - edgeFallK }, layersC{20, 20, 20, 20, 20, 49.7, 49.7, 49.7, 49.7, 50}, 0.01},
		{"the lower probe falls a little", func(l *tankLook) { l.bottomC = 19.75 }, layersC{19.75, 19.75, 19.75, 20, 20, 50, 50, 50, 50, 50}, 0.01},
		{"the lower probe falls by the border", func(l *tankLook) { l.bottomC = start.Layers[2] - edgeFallK }, layersC{19.7, 19.7, 19.7, 20, 20, 50, 50, 50, 50, 50}, 0.01},
	} {
		p := look(c.change)
		wantLayers(t, c.what, p.Layers, c.layers)
		if math.Abs(p.UnseenKWh-c.unseen) > 1e-12 {
			t.Errorf("%s: %g kWh are drawn unseen, want %g", c.what, p.UnseenKWh, c.unseen)
		}
	}

	// Tenths until 50 - 30*P(B(n, 0.1) >= 4) is below 49.6: 11. No water
	// above a probe is colder than it says, and none below hotter.
	p := look(func(l *tankLook) { l.topC = 49.6 })
	up := risen(start.Layers, 11, 10)
	want := layersC{up[0], up[1], 20, 20, 20, up[5], up[6], up[7], 49.6, up[9]}
	wantLayers(t, "a draw has passed the upper probe", p.Layers, want)
	if p.UnseenKWh != 0 {
		t.Errorf("a draw at the upper probe leaves %g kWh unseen", p.UnseenKWh)
	}
	// Tenths until 10 + 10*P(B(n, 0.1) <= 2) is below 19.6: 9.
	p = look(func(l *tankLook) { l.bottomC = 19.6 })
	up = risen(start.Layers, 9, 10)
	want = layersC{up[0], up[1], 19.6, up[3], up[4], up[5], up[6], up[7], 50, 50}
	wantLayers(t, "a draw has passed the lower probe", p.Layers, want)
	if p.UnseenKWh != 0.01 {
		t.Errorf("a draw at the lower probe leaves %g kWh unseen", p.UnseenKWh)
	}
	// Weeks without a word from a probe: between them three layers are 30 K hotter than
	// the lower one says that all above it is. No more than these 90 kJ can be gone.
	for bottomC, want := range map[float64]float64{20: 90, 26: 72, 50: 0} {
		p, l := start, still
		p.UnseenKWh, l.bottomC = 3, bottomC
		p.follow(&f, &l)
		if math.Abs(p.UnseenKWh-want/3600) > 1e-9 {
			t.Errorf("over %g °C at the bottom %g kWh are drawn unseen, want %g kJ", bottomC, p.UnseenKWh, want)
		}
	}
	p = look(func(l *tankLook) { l.span, l.topC, l.bottomC = time.Hour, 50, 20 })
	wantLayers(t, "an hour without loss", p.Layers, start.Layers)
	p = TankPicture{UnseenKWh: 3, Layers: even(90)}
	p.follow(&f, &still)
	wantLayers(t, "the first look", p.Layers, layersC{20, 20, 20, 25, 30, 35, 40, 45, 50, 50})
	if !p.Known || p.UnseenKWh != 0 || p.TopC != 50 || p.MeterKWh != 2 || !slices.IsSorted(p.Layers[:]) {
		t.Errorf("the first look leaves %+v", p)
	}
}
