package control

import (
	"time"

	"sunstoker/physics"
)

// pictureLayers is in how many layers the picture of a tank is drawn: enough to
// tell the water above the heater from that below.
const pictureLayers = 10

// layersC are the temperatures of a tank's layers, °C, bottom first.
type layersC [pictureLayers]float64

// equalLayers are the layers' shares of the tank, as physics wants them.
var equalLayers = [pictureLayers]float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1}

// TankPicture is what the tank likely looks like between and beside its two
// probes: cold water that has come in below rises unseen until it meets the upper
// probe. It is reckoned from what was heated and is likely drawn, and put right by
// whatever the probes say.
type TankPicture struct {
	Known    bool    `json:"known"`
	Layers   layersC `json:"layers"`
	TopC     float64 `json:"top"`   // upper probe, at the last look
	MeterKWh float64 `json:"meter"` // in the energy book, at the last look
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
		return min(pictureLayers-1, max(0, int(height*pictureLayers)))
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
	if at+1 < pictureLayers && l[at] > l[at+1] {
		physics.MixInversions(l[at:], equalLayers[at:])
	}
}

// sun brings the loop's heat in along the coil.
func (l *layersC) sun(f *tankFigures, heatJ float64) {
	rise := heatJ / (f.layerJK * float64(f.coilTop+1))
	for i := 0; i <= f.coilTop; i++ {
		l[i] += rise
	}
	if f.coilTop+1 < pictureLayers && l[f.coilTop] > l[f.coilTop+1] {
		physics.MixInversions(l[:], equalLayers[:])
	}
}

// draw takes heat off at the top, as so much water as has it, and lets cold
// water in below. Water that is colder than wanted is drawn unmixed.
func (l *layersC) draw(f *tankFigures, heatJ, coldC, wantedC float64) {
	const top = pictureLayers - 1
	warmK := max(l[top], wantedC) - coldC
	if heatJ > 0 && warmK > 1 {
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

// lacksJ is the heat, J, that the heater must bring so that all water above it
// is at a temperature: what it brings goes into the coldest of it first.
func (l *layersC) lacksJ(f *tankFigures, toC float64) (heatJ float64) {
	for i := f.heaterAt; i < pictureLayers; i++ {
		heatJ += max(0, toC-l[i]) * f.layerJK
	}
	return heatJ
}

// heaterHasFilledK is how far the upper probe must rise in a look under a heater
// for the water between them to be as hot as it.
const heaterHasFilledK = 0.06

// follow moves the picture on by a span in which so much was likely drawn, and
// puts it right by the probes.
func (p *TankPicture) follow(f *tankFigures, topC, bottomC, coldC, wantedC, heaterJ, drawnJ float64, span time.Duration) {
	if !p.Known {
		*p = TankPicture{Known: true, TopC: topC, MeterKWh: p.MeterKWh}
		p.Layers.straight(f, topC, bottomC)
		return
	}
	l := &p.Layers
	l.cool(f, seconds(span))
	if heaterJ > 0 {
		l.heat(f, f.heaterAt, heaterJ)
	}
	l.draw(f, drawnJ, coldC, wantedC)
	if heaterJ > 0 && topC > p.TopC+heaterHasFilledK {
		for i := f.heaterAt; i < f.topAt; i++ {
			l[i] = max(l[i], topC)
		}
	}
	l.seen(f, topC, bottomC)
	p.TopC = topC
}

// straight fills the layers by a straight line between the probes.
func (l *layersC) straight(f *tankFigures, topC, bottomC float64) {
	for i := range l {
		share := min(1, max(0, float64(i-f.bottomAt)/float64(max(1, f.topAt-f.bottomAt))))
		l[i] = bottomC + share*(max(topC, bottomC)-bottomC)
	}
}

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
			l[i] = max(l[i], topC)
		}
	}
}
