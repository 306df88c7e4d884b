package station

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"time"

	"sunstoker/control"
)

// How often the state goes to the disk: soon after something happened, seldom
// for the counters alone. Storage cards wear with every write.
const (
	saveChangedAfter = time.Minute
	saveAnywayAfter  = 15 * time.Minute
	// savesAsked lie at least so far apart: what a person asks for is saved at
	// once, and the card bears whoever asks every second.
	savesAsked = 10 * time.Second
)

// essence is the saved state without what moves all the time: run times, levels
// and other figures count as there or not there, readings and the figures
// inside sentences not at all; what a person has set by hand counts in full.
// Two states with the same essence differ in counters only.
func essence(controller []byte) ([]byte, error) {
	var st control.State
	if err := json.Unmarshal(controller, &st); err != nil {
		return nil, err
	}
	st.Probes = nil                 // a restart forgets them
	st.BookFor = 0                  // begins anew every minute
	st.House = control.HouseSigns{} // likewise
	for i := range st.Systems {
		st.Systems[i].Balance = control.TankBalance{} // likewise
		st.Systems[i].Saving = control.PumpSaving{}   // follows the readings
		st.Systems[i].Signs = control.Signs{}         // learned over nights and months
	}
	st.Findings = slices.DeleteFunc(st.Findings, func(f control.FindingState) bool { return !f.Raised })
	for i := range st.Findings {
		st.Findings[i].Evidence = control.Reason{}
	}
	byHand := slices.Clone(st.Overrides)
	flatten(reflect.ValueOf(&st).Elem())
	for i := range byHand {
		st.Overrides[i].Level = byHand[i].Level
	}
	return json.Marshal(&st)
}

// flatten turns every duration and every figure inside v into 0 or 1.
func flatten(v reflect.Value) {
	switch {
	case v.Type() == reflect.TypeFor[time.Duration]():
		if v.Int() != 0 {
			v.SetInt(1)
		}
	case v.Kind() == reflect.Float64:
		if v.Float() != 0 {
			v.SetFloat(1)
		}
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			flatten(v.Field(i))
		}
	case v.Kind() == reflect.Slice:
		for i := range v.Len() {
			flatten(v.Index(i))
		}
	}
}

// savePlan decides when a state is worth a write.
type savePlan struct {
	looked  time.Duration // instant of the last look
	saved   time.Duration // instant of the last state that was handed over
	essence []byte        // of that state
	started bool
	asked   bool // a person has asked for something since
}

// due tells whether it is time for a look.
func (p *savePlan) due(now time.Duration) bool {
	return !p.started || now-p.looked >= saveChangedAfter || p.asked && now-p.saved >= savesAsked
}

// wants looks at a state and tells whether to save it. failed says that the
// last one did not reach the disk.
func (p *savePlan) wants(now time.Duration, controller []byte, failed bool) bool {
	p.looked = now
	e, err := essence(controller)
	if err == nil && p.started && !failed && !p.asked && bytes.Equal(e, p.essence) && now-p.saved < saveAnywayAfter {
		return false
	}
	p.essence, p.saved, p.started, p.asked = e, now, true, false
	return true
}
