package control

import (
	"time"

	"sunstoker/physics"
)

// pictureLayers is in how many layers the picture of a tank is drawn. What rises by
// a part of a layer blurs the edge between hot and cold, so that with ten of them
// water is taken for cold that is still hot; forty tell no more than twenty (the
// bench of controllers).
const pictureLayers = 20

// layersC are the temperatures of a tank's layers, °C, bottom first.
type layersC [pictureLayers]float64

// equalLayers are the layers' shares of the tank, as physics wants them.
var equalLayers = [pictureLayers]float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}

// TankPicture is what the tank likely looks like between and beside its two
// probes: cold water that has come in below rises unseen until it meets the upper
// probe. It is reckoned from what was heated and is likely drawn, and put right by
// whatever the probes say.
type TankPicture struct {
	Known     bool    `json:"known"`
	Layers    layersC `json:"layers"`
	TopC      float64 `json:"top"`    // upper probe, at the last look
	MeterKWh  float64 `json:"meter"`  // of the heater in the energy book, at the last look
	UnseenKWh float64 `json:"unseen"` // likely drawn since a probe has last told where the hot water ends
}

// tankLook is what a look at a tank shows.
type tankLook struct {
	topC, bottomC, coldC float64
	wantedC              float64       // at the taps
	meterKWh             float64       // of the heater in the energy book
	drawnKWh             float64       // likely drawn since the last look
	span                 time.Duration // since then
}

// tankFigures are what the picture and its outlook need of a plant.
type tankFigures struct {
	layerJK  float64 // heat capacity of one layer
	lossWK   float64 // of one layer
	heaterAt int     // layer of the heater
	topAt    int     // layer of the upper probe
	bottomAt int     // of the lower one
	coilTop  int     // highest layer beside the coil
	heaterW  float64
}

// Heights in the tank where the site says nothing, as shares of its height.
// Common practice, no source.
const (
	usualHeaterHeight = 0.6
	usualTopProbe     = 0.85
	usualBottomProbe  = 0.2
	coilTopHeight     = 0.45
)

func tankFiguresOf(s *System) tankFigures {
	layer := func(height, usual float64) int {
		if height <= 0 {
			height = usual
		}
		return min(pictureLayers-1, int(height*pictureLayers))
	}
	f := tankFigures{
		layerJK:  s.TankL * waterJLK / pictureLayers,
		lossWK:   s.TankLossWK / pictureLayers,
		heaterAt: layer(s.HeaterHeight, usualHeaterHeight),
		topAt:    layer(s.TopProbeHeight, usualTopProbe),
		bottomAt: layer(s.BottomProbeHeight, usualBottomProbe),
		coilTop:  layer(0, coilTopHeight),
		heaterW:  s.HeaterW,
	}
	f.bottomAt = min(f.bottomAt, f.topAt)
	return f
}

// heat brings heat in at a layer; it rises through the colder ones above.
func (l *layersC) heat(f *tankFigures, at int, heatJ float64) {
	l[at] += heatJ / f.layerJK
	physics.MixInversions(l[at:], equalLayers[at:])
}

// sun brings the loop's heat in along the coil.
func (l *layersC) sun(f *tankFigures, heatJ float64) {
	rise := heatJ / (f.layerJK * float64(f.coilTop+1))
	for i := 0; i <= f.coilTop; i++ {
		l[i] += rise
	}
	physics.MixInversions(l[:], equalLayers[:])
}

// draw takes heat off at the top, as so much water as has it, and lets cold
// water in below. Water that is colder than wanted is drawn unmixed.
func (l *layersC) draw(f *tankFigures, heatJ, coldC, wantedC float64) {
	const top = pictureLayers - 1
	if warmK := max(l[top], wantedC) - coldC; warmK > 1 {
		physics.PushUp(l[:], equalLayers[:], min(pictureLayers, heatJ/(warmK*f.layerJK)), coldC)
	}
}

// cool lets the layers lose heat to the room.
func (l *layersC) cool(f *tankFigures, seconds float64) {
	share := min(1, f.lossWK*seconds/f.layerJK)
	for i := range l {
		l[i] -= share * (l[i] - roomC)
	}
}

// hotJ is the heat above the cold water, J, in the water at the top that is hot
// enough to be drawn.
func (l *layersC) hotJ(f *tankFigures, coldC, wantedC float64) (heatJ float64) {
	for i := pictureLayers - 1; i >= 0 && l[i] >= wantedC; i-- {
		heatJ += (l[i] - coldC) * f.layerJK
	}
	return heatJ
}

// unprovenJ is the heat, J, that the picture has between the probes beyond what the
// lower one proves: no more can have been drawn without a probe telling.
func (l *layersC) unprovenJ(f *tankFigures, bottomC float64) (heatJ float64) {
	for i := f.bottomAt; i < f.topAt; i++ {
		heatJ += max(0, l[i]-bottomC) * f.layerJK
	}
	return heatJ
}

// lacksJ is the heat, J, that the heater must bring so that all water above it
// is at a temperature: what it brings goes into the coldest of it first.
func (l *layersC) lacksJ(f *tankFigures, toC float64) (heatJ float64) {
	for i := f.heaterAt; i < pictureLayers; i++ {
		heatJ += max(0, toC-l[i]) * f.layerJK
	}
	return heatJ
}

const (
	// filledRiseK is how far the upper probe must rise in a look under a heater for
	// the water between them to be as hot as it.
	filledRiseK = 0.06
	// edgeFallK is how far a probe must fall below its picture for a draw to be
	// what has passed it.
	edgeFallK = 0.3
	// pushPart is the share of a layer that such a draw is tried in, pushMost how
	// many of them there can be in a look, a fifth of the tank: a tap that is wide open
	// empties a tenth of a small tank in a minute.
	pushPart, pushMost = 0.1, 40
)

// follow moves the picture on to another look, and puts it right by the probes.
func (p *TankPicture) follow(f *tankFigures, look *tankLook) {
	l := &p.Layers
	heaterJ := max(0, look.meterKWh-p.MeterKWh) * jPerKWh
	rises := heaterJ > 0 && look.topC > p.TopC+filledRiseK
	p.MeterKWh, p.TopC = look.meterKWh, look.topC
	if !p.Known {
		p.Known, p.UnseenKWh = true, 0
		l.straight(f, look.topC, look.bottomC)
		return
	}
	l.cool(f, seconds(look.span))
	l.heat(f, f.heaterAt, heaterJ)
	l.draw(f, look.drawnKWh*jPerKWh, look.coldC, look.wantedC)
	p.UnseenKWh = min(p.UnseenKWh+look.drawnKWh, l.unprovenJ(f, look.bottomC)/jPerKWh)
	switch {
	case rises:
		l.filled(f, look.topC)
		p.UnseenKWh = 0
	case look.topC < l[f.topAt]-edgeFallK:
		l.pushUntil(f.topAt, look.topC, look.coldC)
		p.UnseenKWh = 0
	case look.bottomC < l[f.bottomAt]-edgeFallK:
		l.pushUntil(f.bottomAt, look.bottomC, look.coldC)
	}
	l.seen(f, look.topC, look.bottomC)
}

// filled is what the layers are when the upper probe rises under the heater: all
// between them is as hot as it. Heat that should have made it hotter has met more
// cold water, so that there is less of the hot above.
func (l *layersC) filled(f *tankFigures, topC float64) {
	missingK := 0.0 // times a layer
	for i := f.heaterAt; i <= f.topAt; i++ {
		missingK += max(0, l[i]-topC)
		l[i] = topC
	}
	for i := f.topAt + 1; i < pictureLayers; i++ {
		part := min(missingK, max(0, l[i]-topC))
		l[i], missingK = l[i]-part, missingK-part
	}
}

// pushUntil draws water until a layer is as cold as its probe says.
func (l *layersC) pushUntil(at int, toC, coldC float64) {
	for part := 0; part < pushMost && l[at] > toC; part++ {
		physics.PushUp(l[:], equalLayers[:], pushPart, coldC)
	}
}

// straight fills the layers by a straight line between the probes.
func (l *layersC) straight(f *tankFigures, topC, bottomC float64) {
	for i := range l {
		share := min(1, max(0, float64(i-f.bottomAt)/float64(max(1, f.topAt-f.bottomAt))))
		l[i] = bottomC + share*(max(topC, bottomC)-bottomC)
	}
}

// pictureMostC bounds the layers above the upper probe, °C, at what a tank probe can
// read (placeLimits): no probe bounds them, and a heater up there that is on and
// gives nothing would heat them without end.
const pictureMostC = 130

// seen puts the layers right by the probes: warm water lies above cold, so that
// a probe bounds all that lies above it and all that lies below.
func (l *layersC) seen(f *tankFigures, topC, bottomC float64) {
	topC = max(topC, bottomC)
	for i := range l {
		switch {
		case i < f.bottomAt:
			l[i] = min(l[i], bottomC)
		case i == f.bottomAt:
			l[i] = bottomC
		case i < f.topAt:
			l[i] = min(max(l[i], bottomC), topC)
		case i == f.topAt:
			l[i] = topC
		default:
			l[i] = min(max(l[i], topC), pictureMostC)
		}
	}
}
