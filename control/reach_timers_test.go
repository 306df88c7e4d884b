package control

import (
	"encoding/binary"
	"math"
	"reflect"
	"slices"
	"testing"
	"time"
	"unsafe"
)

// timer is a time span of the memory, with the borders at which some rule changes
// its mind. Between two borders all its values are one to the walk.
type timer struct {
	borders   []time.Duration
	countdown bool // it runs out
}

// some is the border between nothing and something.
const some = time.Nanosecond

func counts(borders ...time.Duration) timer { return timer{borders: borders} }

var runsOut = timer{borders: []time.Duration{some}, countdown: true}

// noTimer says that no rule looks at a span, and why.
type noTimer string

const (
	forFindings = noTimer("findings alone look at it, and no rule looks at findings")
	forJudging  = noTimer("judging alone looks at it, and a reading that is doubted, frozen or still is to a rule what a lost one is")
)

// timersOfSystem, of an output and of a probe: each time span of their memory stands
// here, so that a new one is not passed over.
func timersOfSystem(set *Settings, budget time.Duration) map[string]any {
	since := []time.Duration{set.HygieneInterval, set.HygieneInterval + hygienePatience}
	if set.SuretyPercent > 0 { // a heat-up ahead: from when on, and from when on tomorrow is too late
		since = append([]time.Duration{set.HygieneInterval - min(hygieneEarly, set.HygieneInterval/2), set.HygieneInterval - 12*time.Hour}, since...)
	}
	return map[string]any{
		"HygieneSince":    counts(since...),
		"HygieneHold":     counts(some, set.HygieneHold),
		"HygieneStill":    noTimer("it is added to the hold when the reading moves, which the walk tries at once"),
		"FrostRunFor":     forFindings,
		"FrostColdFor":    counts(some, frostColdPatience),
		"HeaterEffort":    counts(some, budget),
		"HeaterRest":      counts(some, effortPause),
		"SupplyWait":      counts(some, supplyPatience, supplyPatience+set.HygieneHold),
		"BoostLeft":       runsOut,
		"StillRun":        forJudging,
		"SteamCoolFor":    counts(some, steamPatience),
		"StagnantFor":     forFindings,
		"DumpRest":        counts(some, dumpLock),
		"CirculationLeft": runsOut,
		"CirculationRan":  counts(some, set.CirculationDaily),
		"CirculationDay":  counts(some, circulationDay),
		"LineSince":       counts(set.HygieneInterval / 2),
		"LineLeft":        runsOut,
		"LineMissed":      counts(some, lineMost),
		"LineTry":         counts(some, circulationDay),
	}
}

func timersOfOutput(a Actuator, water bool, lim *outputLimits) map[string]any {
	inState := []time.Duration{lim.minRest, lim.minRun}
	idle := any(noTimer("its rules look at a pump's rest alone"))
	switch {
	case a == LoopPump && water:
		inState = append(inState, exerciseRun, DefaultSettings().FrostWatchRun)
		idle = counts(DefaultSettings().FrostWatchPause, frostDoubtAfter, darkAfter, DefaultSettings().ExerciseAfter)
	case a == LoopPump:
		inState = append(inState, exerciseRun, burstRun)
		idle = counts(burstPause, DefaultSettings().ExerciseAfter)
	case a == HeatDump:
		inState = append(inState, dumpLead)
	}
	if lim.leastLevel > 0 {
		inState = append(inState, fullAtRun)
	}
	slices.Sort(inState)
	return map[string]any{"InState": counts(slices.Compact(inState)...), "Idle": idle, "On": forFindings}
}

func timersOfProbe(place Place, water bool, set *Settings) map[string]any {
	timers := map[string]any{
		"Since":      forJudging,
		"PowerUpFor": forJudging,
		"Sample":     forJudging,
		"DoubtFor":   forJudging,
		"Trouble":    forFindings,
		"Silent":     counts(some, unseenPatience),
		"Same":       forJudging,
	}
	if water && (place == Collector || place == OutdoorAir) {
		timers["Silent"] = counts(some, 2*set.ReadingAgeLimit, unseenPatience)
	}
	if water && place == Collector {
		timers["Same"] = counts(frostAlive)
	}
	return timers
}

// lens sees of a piece of memory what the next decisions depend on: its latches
// and the side of its timers' borders.
type lens struct {
	flags  []uintptr
	timers []timerAt
}

type timerAt struct {
	timer
	at   uintptr
	name string
}

func newLens(t testing.TB, of reflect.Type, timers map[string]any) (l lens) {
	t.Helper()
	for i := range of.NumField() {
		field := of.Field(i)
		switch {
		case field.Name == "LoopEnds": // it changes words alone
		case field.Type.Kind() == reflect.Bool:
			l.flags = append(l.flags, field.Offset)
		case field.Type == reflect.TypeFor[time.Duration]():
			switch x := timers[field.Name].(type) {
			case timer:
				l.timers = append(l.timers, timerAt{x, field.Offset, field.Name})
			case noTimer:
			default:
				t.Fatalf("%s.%s: the walk must know at which borders rules look at it", of.Name(), field.Name)
			}
		}
	}
	return l
}

func (l *lens) appendKey(key []byte, of unsafe.Pointer) []byte {
	var bits uint64
	for _, at := range l.flags {
		bits <<= 1
		if *(*bool)(unsafe.Add(of, at)) {
			bits |= 1
		}
	}
	key = binary.LittleEndian.AppendUint64(key, bits)
	for i := range l.timers {
		key = append(key, byte(l.timers[i].passed(*l.timers[i].value(of))))
	}
	return key
}

func (x *timerAt) value(of unsafe.Pointer) *time.Duration {
	return (*time.Duration)(unsafe.Add(of, x.at))
}

// passed is how many borders lie behind.
func (x *timer) passed(d time.Duration) (n int) {
	for n < len(x.borders) && d >= x.borders[n] {
		n++
	}
	return n
}

// almost brings a timer to a second before its next border, and tells whether it
// runs towards one.
func (x *timerAt) almost(of unsafe.Pointer) bool {
	v, n := x.value(of), x.passed(*x.value(of))
	switch {
	case x.countdown:
		if n > 0 {
			*v = time.Second
		}
		return n > 0
	case n == len(x.borders), x.borders[n] == some:
		return false
	}
	*v = max(*v, x.borders[n]-time.Second)
	return true
}

// value16 is a figure of the memory that takes the values of readings alone.
func value16(key []byte, v float64) []byte {
	return binary.LittleEndian.AppendUint16(key, uint16(int16(math.Round(4*v))))
}

// speed tells the regulator's borders from what is between them.
func speed(v, least float64) byte {
	switch {
	case v <= least:
		return 0
	case v < 1:
		return 1
	}
	return 2
}
