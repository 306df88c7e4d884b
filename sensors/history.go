package sensors

import (
	"math"
	"time"
)

// A record that looks like the power-on one is believed only next to an
// unmistakable sample: at most nearC away and at most nearTime old. The values
// bound the harm of a wrong guess to nearC; a tank cannot leave that band
// within that time unnoticed by other readings (common practice, no source).
const (
	nearC    = 5.0
	nearTime = 15 * time.Minute
)

// history is what has to be remembered of one probe to judge its next record.
type history struct {
	anchorC  float64 // last value whose record cannot be the power-on one
	anchorAt time.Duration
	anchored bool

	lastBytes  [recordBytes]byte
	haveRecord bool
	repeats    int

	faults faultRow
}

// judge turns one answer into a sample. Exactly one of rec and fault is nil.
func (h *history) judge(rec *record, fault *Fault, taken time.Duration) Sample {
	sample := Sample{Value: math.NaN(), Taken: taken}
	if rec != nil {
		h.countRepeats(rec)
		sample.Raw, sample.Repeats = rec.hex(), h.repeats
		sample.Value, fault = h.believe(rec, taken)
	}
	if fault != nil {
		h.faults.date(fault, taken)
		sample.Value, sample.Fault = math.NaN(), fault
		return sample
	}
	h.faults.end()
	return sample
}

func (h *history) believe(rec *record, taken time.Duration) (float64, *Fault) {
	tempC, fault := rec.temperatureC()
	if fault != nil {
		return math.NaN(), fault
	}
	if !rec.looksPowerOn(tempC) {
		h.anchorC, h.anchorAt, h.anchored = tempC, taken, true
		return tempC, nil
	}
	// The anchor stays where it is, or a probe that fails for good near 85 °C
	// would vouch for itself for ever.
	if h.anchored && taken-h.anchorAt <= nearTime && math.Abs(tempC-h.anchorC) <= nearC {
		return tempC, nil
	}
	return math.NaN(), faultf(PowerOn, "no recent sample is near 85 °C; check its supply if this comes back")
}

func (h *history) countRepeats(rec *record) {
	if h.haveRecord && h.lastBytes == rec.bytes {
		h.repeats++
		return
	}
	h.lastBytes, h.haveRecord, h.repeats = rec.bytes, true, 0
}
