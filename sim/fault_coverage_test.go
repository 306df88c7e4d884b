package sim

import "testing"

// What breaks in plants of this kind, by part and way of failing, and the kind
// of fault that does it here. What has no physical side (settings, network,
// people's overrides) is not the simulator's.
var failures = []struct{ part, fails, kind string }{
	{"collector sensor", "open wire", "probe wire open"},
	{"collector sensor", "short", "probe wire shorted"},
	{"collector sensor", "stuck at a plausible value", "probe frozen"},
	{"collector sensor", "drift", "probe drifts"},
	{"collector sensor", "wrong curve", "probe off by"},
	{"collector sensor", "out of its pocket", "probe pulled out"},
	{"collector sensor", "noise", "probe noisy"},
	{"collector sensor", "surges on a long cable", "probe surges"},
	{"tank sensor", "open or short", "probe missing"},
	{"tank sensor", "stuck low, stuck high", "probe frozen"},
	{"tank sensor", "reading the room", "probe pulled out"},
	{"two sensors", "swapped", "probes swapped"},
	{"bus sensor", "power-up value given as real", "probe gives its power-up value"},
	{"bus sensor", "one special value for good", "probe shorted"},
	{"bus sensor", "bus shorted low, all bytes zero", "probe reads all zeros"},
	{"bus sensor", "counterfeit chip", "probe counterfeit"},
	{"bus sensor", "new identity", "probe replaced by a stranger"},
	{"bus of all sensors", "hung", "probe bus silent"},
	{"outdoor sensor", "in the sun", "probe in the sun"},
	{"outdoor sensor", "on a warm wall", "probe on a warm wall"},
	{"all analog sensors", "same shift on all channels", "probe bus shifted"},
	{"all analog sensors", "hum", "probe bus hums"},
	{"flow meter", "stuck at zero", "flow meter stuck at zero"},
	{"flow meter", "pulses with the pump off", "flow meter counts at rest"},
	{"loop pump", "does not turn", "pump does not turn"},
	{"loop pump", "runs always", "pump relay welded"},
	{"loop pump", "dry or air-locked", "pump dry or air-locked"},
	{"loop pump", "weak or half blocked", "pump weak"},
	{"loop", "blocked by dirt", "flow blocked"},
	{"pump relay", "contact welded", "pump relay welded"},
	{"pump relay", "contact or coil open", "pump relay open"},
	{"pump relay", "chatter", "pump relay chatters"},
	{"any relay", "wrong polarity", "outputs inverted"},
	{"check valve", "stuck open or missing", "check valve stuck open"},
	{"check valve", "stuck shut", "check valve stuck shut"},
	{"heater element", "open circuit", "heater element open"},
	{"heater element", "earth leak", "heater earth leak"},
	{"heater element", "scaled", "heater element scaled"},
	{"heater element", "energised without water", "heater element without water"},
	{"heater contactor", "welded closed", "heater relay welded"},
	{"heater contactor", "does not close", "heater contactor does not close"},
	{"heater cut-out", "tripped", "heater cut-out tripped"},
	{"heater cut-out", "bridged or absent", "heater cut-out bridged"},
	{"heater thermostat", "set below the target", "heater thermostat set low"},
	{"heater thermostat", "set far above the target", "heater thermostat set high"},
	{"heater thermostat", "never limits", "heater thermostat welded"},
	{"circulation pump", "runs always", "circulation pump runs always"},
	{"circulation pump", "never runs", "circulation pump never runs"},
	{"tempering valve", "stuck hot", "tempering valve stuck hot"},
	{"tempering valve", "stuck cold", "tempering valve stuck cold"},
	{"drinking-water coil", "scaled", "drinking-water coil scaled"},
	{"store", "leaks", "store leaks"},
	{"glycol", "aged", "glycol aged"},
	{"glycol", "topped up with water", "glycol topped up with water"},
	{"loop", "slow leak", "loop leaks slowly"},
	{"loop", "lost all fluid", "loop lost all fluid"},
	{"expansion vessel", "lost pre-charge or membrane", "expansion vessel lost its cushion"},
	{"loop relief valve", "stuck shut", "loop relief valve stuck shut"},
	{"loop relief valve", "weeping or open", "loop relief valve weeping"},
	{"heat dump", "valve stuck shut", "heat dump valve stuck shut"},
	{"heat dump", "valve stuck open", "heat dump valve stuck open"},
	{"tank relief valve", "stuck shut or blocked", "tank relief valve blocked"},
	{"tank", "hot after days without draw", "nobody at home"},
	{"tank", "water inlet stopped", "tank inlet stopped"},
	{"collector", "shade", "shade on the collector"},
	{"collector", "snow", "snow on the collector"},
	{"collector", "soiling", "collector soiled"},
	{"mains power", "cut", "mains power cut"},
	{"mains power", "short dips", "mains power dips"},
	{"board", "outputs hold their level", "outputs hold their last level"},
	{"board", "outputs high during start", "outputs on at start"},
	{"board", "too hot", "board too hot"},
	{"board", "a second program drives the same lines", "outputs driven by a second program"},
	{"storage", "full", "storage full"},
	{"storage", "torn write", "storage tears writes"},
	{"storage", "read-only", "storage read-only"},
	{"clock", "starts in the past", "clock not set"},
	{"clock", "wrong", "clock wrong"},
	{"clock", "jumps", "clock jumps"},
}

func TestEveryKnownFailureHasAFault(t *testing.T) {
	used := map[string]bool{}
	for _, f := range failures {
		if _, err := faultKindNamed(f.kind); err != nil {
			t.Errorf("%s, %s: %v", f.part, f.fails, err)
		}
		used[f.kind] = true
	}
	for _, k := range FaultKinds() {
		if !used[k.Name] {
			t.Errorf("no known failure stands behind the fault %q", k.Name)
		}
	}
}
