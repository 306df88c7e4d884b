package control

import (
	"math"
	"slices"
	"testing"
	"time"
)

// thousandLayers are figures of a small tank that can be reckoned by head: 1000 J
// heat a tenth of it, which is two layers, by one kelvin. The heater is at the begin
// of the sixth tenth, the probes in the upper half of the ninth and third, and the
// coil ends with the fifth.
var thousandLayers = tankFigures{layerJK: 500, lossWK: 1, heaterAt: 10, topAt: 17, bottomAt: 5, coilTop: 9}

// tenths is a tank that is alike within each tenth of its height.
func tenths(fromBottomC ...float64) (l layersC) {
	for i := range l {
		l[i] = fromBottomC[i*len(fromBottomC)/len(l)]
	}
	return l
}

// even is a tank of one temperature.
func even(c float64) layersC { return edged(0, c, c) }

// edged is a tank with so many cold tenths below hot ones.
func edged(cold int, coldC, hotC float64) (l layersC) {
	for i := range l {
		l[i] = hotC
		if i < cold*pictureLayers/10 {
			l[i] = coldC
		}
	}
	return l
}

// stepped is a tank that is alike below the lower probe, from there to below the
// upper one, and from that on.
func stepped(belowC, betweenC, aboveC float64) (l layersC) {
	for i := range l {
		l[i] = betweenC
		if i < thousandLayers.bottomAt {
			l[i] = belowC
		} else if i >= thousandLayers.topAt {
			l[i] = aboveC
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
		{"what is usual where nothing is said", 0, 0, 0, 12, 17, 4, 9},
		{"what the site says", 0.35, 0.95, 0.06, 7, 19, 1, 9},
		{"the lid and nearly the floor", 1, 1, 0.01, 19, 19, 0, 9},
		{"the lower probe entered above the upper one counts as beside it", 0.5, 0.35, 0.75, 10, 7, 7, 9},
	} {
		s := plain
		s.HeaterHeight, s.TopProbeHeight, s.BottomProbeHeight = c.heater, c.top, c.bottom
		want := tankFigures{layerJK: 10 * waterJLK, lossWK: 0.125, heaterAt: c.heaterAt, topAt: c.topAt, bottomAt: c.bottomAt, coilTop: c.coilTops, heaterW: 1500}
		if got := tankFiguresOf(&s); got != want {
			t.Errorf("%s: %+v, want %+v", c.what, got, want)
		}
	}
}

// TestHeatInThePictureRises: what the heater and the coil bring goes up through
// the colder water above, and not down.
func TestHeatInThePictureRises(t *testing.T) {
	l := even(40)
	l.heat(&thousandLayers, 10, 5000)
	wantLayers(t, "5 kJ under half the tank", l, edged(5, 40, 41))
	l = edged(6, 40, 50)
	l.heat(&thousandLayers, 10, 5000)
	wantLayers(t, "a tenth heated by 5 K that stays below hotter ones", l, tenths(40, 40, 40, 40, 40, 45, 50, 50, 50, 50))
	l = even(40)
	l.heat(&thousandLayers, 18, 3000)
	wantLayers(t, "heat at the very top", l, edged(9, 40, 43))

	l = edged(5, 20, 50)
	l.sun(&thousandLayers, 5000)
	wantLayers(t, "5 kJ of sun along half the tank", l, edged(5, 21, 50))
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
		{"50 kJ at 50 K are a tenth", 50e3, 10, 40, edged(3, 20, 60), tenths(10, 20, 20, 20, 60, 60, 60, 60, 60, 60)},
		{"of colder water the tap takes what it would of warm", 60e3, 10, 40, edged(9, 20, 30), tenths(10, 10, 20, 20, 20, 20, 20, 20, 20, 20)},
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

// TestThePictureCools: 1 W/K for 100 s are 100 J/K of the 500 of a layer, a
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
		{"hot below the edge counts no more", tenths(50, 50, 50, 50, 50, 50, 50, 30, 45, 45), 2 * 35e3, 20e3 + 2*5e3},
	} {
		if got := c.l.hotJ(&thousandLayers, 10, 40); math.Abs(got-c.hotJ) > 1e-6 {
			t.Errorf("%s: %g J are hot, want %g", c.what, got, c.hotJ)
		}
		if got := c.l.lacksJ(&thousandLayers, 50); math.Abs(got-c.lackJ) > 1e-6 {
			t.Errorf("%s: the heater lacks %g J, want %g", c.what, got, c.lackJ)
		}
	}
}

// straightLine leads from 20 °C at the lower probe to 50 °C at the upper one, twelve
// layers above.
var straightLine = tenths(20, 20, 20, 20, 20, 20, 22.5, 25, 27.5, 30, 32.5, 35, 37.5, 40, 42.5, 45, 47.5, 50, 50, 50)

// TestProbesPutThePictureRight: a straight line at first; then water above a
// probe is no colder than it, and water below no hotter.
func TestProbesPutThePictureRight(t *testing.T) {
	var l layersC
	l.straight(&thousandLayers, 50, 20)
	wantLayers(t, "a straight line", l, straightLine)
	l.straight(&thousandLayers, 20, 50)
	wantLayers(t, "probes upside down", l, even(50))
	beside := thousandLayers
	beside.topAt, beside.bottomAt = 7, 7
	l.straight(&beside, 50, 20)
	wantLayers(t, "both probes at one height", l, edged(4, 20, 50))

	l = even(35)
	l.seen(&thousandLayers, 50, 40)
	wantLayers(t, "a picture that is too cold", l, stepped(35, 40, 50))
	l = even(60)
	l.seen(&thousandLayers, 50, 40)
	wantLayers(t, "a picture that is too hot", l, tenths(40, 40, 40, 50, 50, 50, 50, 50, 50, 60))
	l = even(45)
	l.seen(&thousandLayers, 30, 50)
	wantLayers(t, "probes upside down, on a picture", l, stepped(45, 50, 50))
}

// TestAHeaterAboveTheProbe: one that is on and gives nothing heats the picture above
// the probe no hotter than a tank probe can read, and leaves a memory that the next
// start takes up.
func TestAHeaterAboveTheProbe(t *testing.T) {
	if high := placeLimits[TankTop].high; pictureMostC != high {
		t.Errorf("the picture ends at %d °C, a tank probe at %g °C", pictureMostC, high)
	}
	d := newDesk(t, eager, withTank, sure(99), func(p *Plan) { p.Systems[0].HeaterHeight = 1 })
	d.settled()
	for minute := range 6 * 60 {
		d.holdOn(t, outHeater)
		d.waver(minute)
		d.run(time.Minute)
	}
	if top := d.c.st.Systems[0].SunFirst.Tank.Layers[pictureLayers-1]; top != pictureMostC {
		t.Errorf("after six hours the picture's top is at %g °C", top)
	}
	data, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	if err := d.c.RestoreState(data); err != nil {
		t.Error(err)
	}
}

// TestAFallingProbeMovesTheEdge: cold water has come up to a probe that falls,
// by as many tenths of a layer as it takes, and by a fifth of the tank in a look at
// most.
func TestAFallingProbeMovesTheEdge(t *testing.T) {
	sharp := edged(8, 10, 60) // the edge is below the seventeenth layer
	l := sharp
	l.pushUntil(16, 54, 10) // 60 - 0.1*50 is 55, then 55 - 0.1*45 is 50.5
	want := sharp
	want[16], want[17] = 50.5, 59.5
	wantLayers(t, "two tenths", l, want)
	l = sharp
	l.pushUntil(16, 60, 10)
	wantLayers(t, "a probe that has not fallen", l, sharp)
	l = sharp
	l.pushUntil(16, 0, 10) // never so cold: 40 tenths, each leaving 0.9 of what was above 10 °C
	if want := 10 + 50*math.Pow(0.9, 40); math.Abs(l[16]-want) > 1e-9 {
		t.Errorf("after the most that can be drawn in a look the layer is at %g °C, want %g", l[16], want)
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
	l := tenths(10, 20, 30, 35, 40, 45, 45, 45, 45, 55)
	l.filled(&thousandLayers, 50)
	wantLayers(t, "hotter than it was thought", l, tenths(10, 20, 30, 35, 40, 50, 50, 50, 50, 55))
	l = tenths(10, 20, 30, 35, 40, 52, 52, 50, 50, 55)
	l.filled(&thousandLayers, 50) // 4 K of a tenth too much, which the top gives up
	wantLayers(t, "colder than it was thought", l, tenths(10, 10, 20, 20, 30, 30, 35, 35, 40, 40, 50, 50, 50, 50, 50, 50, 50, 50, 50, 52))
	low := thousandLayers
	low.topAt = 13
	l = tenths(10, 20, 30, 35, 40, 52, 52, 53, 58, 60)
	l.filled(&low, 50) // 8 K of a layer: 3 K out of each of the next two, then 2 K out of the one above
	wantLayers(t, "given up from below", l, tenths(10, 10, 20, 20, 30, 30, 35, 35, 40, 40, 50, 50, 50, 50, 50, 50, 56, 58, 60, 60))
}

// TestLooksAtTheTank: what a look makes of the picture, with no loss to the room.
func TestLooksAtTheTank(t *testing.T) {
	f := thousandLayers
	f.lossWK = 0
	const kWhOf1kJ = 1.0 / 3600 // warms the half of the tank from the heater up by 0.2 K
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
		{"the heater's 1 kJ", func(l *tankLook) { l.meterKWh += kWhOf1kJ }, tenths(20, 20, 20, 20, 20, 50, 50, 50, 50, 50.2), 0.01},
		{"a meter that is back at nothing", func(l *tankLook) { l.meterKWh = 0 }, edged(5, 20, 50), 0.01},
		{"8 kJ drawn, two fifths of a layer", func(l *tankLook) { l.drawnKWh = 8.0 / 3600 }, tenths(16, 20, 20, 20, 20, 20, 20, 20, 20, 20, 38, 50, 50, 50, 50, 50, 50, 50, 50, 50), 0.01 + 8.0/3600},
		{"the top rises under the heater", func(l *tankLook) { l.meterKWh, l.topC = l.meterKWh+kWhOf1kJ, 50.08 }, tenths(20, 20, 20, 20, 20, 50.08, 50.08, 50.08, 50.08, 50.08), 0},
		{"the top rises by no more than is noise", func(l *tankLook) { l.meterKWh, l.topC = l.meterKWh+kWhOf1kJ, 50+filledRiseK }, tenths(20, 20, 20, 20, 20, 50.06, 50.06, 50.06, 50.06, 50.2), 0.01},
		{"the top rises by itself", func(l *tankLook) { l.topC = 51 }, tenths(20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 50, 50, 50, 50, 50, 50, 50, 51, 51, 51), 0.01},
		{"the upper probe falls a little", func(l *tankLook) { l.topC = 49.75 }, tenths(20, 20, 20, 20, 20, 49.75, 49.75, 49.75, 49.75, 50), 0.01},
		{"the upper probe falls by the border", func(l *tankLook) { l.topC = start.Layers[17] - edgeFallK }, tenths(20, 20, 20, 20, 20, 49.7, 49.7, 49.7, 49.7, 50), 0.01},
		{"the lower probe falls a little", func(l *tankLook) { l.bottomC = 19.75 }, tenths(19.75, 19.75, 19.75, 20, 20, 50, 50, 50, 50, 50), 0.01},
		{"the lower probe falls by the border", func(l *tankLook) { l.bottomC = start.Layers[5] - edgeFallK }, tenths(19.7, 19.7, 19.7, 20, 20, 50, 50, 50, 50, 50), 0.01},
	} {
		p := look(c.change)
		wantLayers(t, c.what, p.Layers, c.layers)
		if math.Abs(p.UnseenKWh-c.unseen) > 1e-12 {
			t.Errorf("%s: %g kWh are drawn unseen, want %g", c.what, p.UnseenKWh, c.unseen)
		}
	}

	// Tenths until 50 - 30*P(B(n, 0.1) >= 8) is below 49.6: 33. No water
	// above a probe is colder than it says, and none below hotter.
	p := look(func(l *tankLook) { l.topC = 49.6 })
	want := risen(start.Layers, 33, 10)
	for i := range want {
		switch {
		case i == 5:
			want[i] = 20
		case i > 5 && i < 17:
			want[i] = min(max(want[i], 20), 49.6)
		case i == 17:
			want[i] = 49.6
		}
	}
	wantLayers(t, "a draw has passed the upper probe", p.Layers, want)
	if p.UnseenKWh != 0 {
		t.Errorf("a draw at the upper probe leaves %g kWh unseen", p.UnseenKWh)
	}
	// Tenths until 10 + 10*P(B(n, 0.1) <= 5) is below 19.6: 27.
	p = look(func(l *tankLook) { l.bottomC = 19.6 })
	want = risen(start.Layers, 27, 10)
	want[5], want[17], want[18], want[19] = 19.6, 50, 50, 50
	wantLayers(t, "a draw has passed the lower probe", p.Layers, want)
	if p.UnseenKWh != 0.01 {
		t.Errorf("a draw at the lower probe leaves %g kWh unseen", p.UnseenKWh)
	}
	// Weeks without a word from a probe: between them seven layers are 30 K hotter
	// than the lower one says that all above it is. No more than these 105 kJ can be gone.
	for bottomC, want := range map[float64]float64{20: 105, 26: 84, 50: 0} {
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
	wantLayers(t, "the first look", p.Layers, straightLine)
	if !p.Known || p.UnseenKWh != 0 || p.TopC != 50 || p.MeterKWh != 2 || !slices.IsSorted(p.Layers[:]) {
		t.Errorf("the first look leaves %+v", p)
	}
}
