package sensors

import (
	"fmt"
	"time"
)

// FaultKind sorts the reasons for a missing value. It is an error itself, so
// that errors.Is(sample.Fault, sensors.Silent) works.
type FaultKind uint8

// The kinds of fault. The list is closed: its labels are fit for metrics.
const (
	// NotYetRead: the probe has not been asked since the start.
	NotYetRead FaultKind = iota + 1
	// BusAbsent: the bus itself is not there.
	BusAbsent
	// Absent: the bus is there, the probe is not listed on it.
	Absent
	// Denied: the program may not read the probe's file.
	Denied
	// ReadFailed: reading failed for another reason, which is the cause.
	ReadFailed
	// Silent: the read succeeded and brought nothing. The 1-wire driver
	// behaves so when its own tries all failed.
	Silent
	// Malformed: there was text, but not a whole and consistent record.
	Malformed
	// BadChecksum: the record was damaged on its way.
	BadChecksum
	// HeldLow: a record of zeros only. Its checksum is right, and it is what
	// a bus shorted to ground gives; never a temperature of zero.
	HeldLow
	// NotDriven: a record of ones only, what a bus gives that nobody drives.
	NotDriven
	// PowerOn: the record of exactly 85 °C that a DS18B20 holds after its
	// supply came on and before its first conversion, where nothing speaks
	// for a real 85 °C.
	PowerOn
	// Unpowered: the record of 127.94 °C of a conversion that failed for want
	// of supply.
	Unpowered
	// OutOfRange: a value the part cannot measure.
	OutOfRange
	// Unsupported: the part is known, or its record is sound, but this program
	// cannot turn it into a value it could answer for.
	Unsupported
	// Broken: the element, its cable or a plug is open.
	Broken
	// Shorted: the element or its cable is shorted.
	Shorted
	// Overvoltage: a terminal is at a voltage that the measuring part cannot
	// have there.
	Overvoltage
	// Unsettled: the part did not finish measuring, or lost its settings.
	Unsettled
	// Frozen: the raw figures have not moved for so long that nothing is
	// measured any more.
	Frozen
	// ReaderFailed: this program made a mistake of its own while it asked the
	// probe. It asks again at the next pass.
	ReaderFailed
)

type kindText struct{ label, words string }

var kindTexts = map[FaultKind]kindText{
	NotYetRead:   {"not_yet_read", "not read yet"},
	BusAbsent:    {"bus_absent", "the bus is not there"},
	Absent:       {"absent", "the probe is not on the bus"},
	Denied:       {"denied", "no permission to read the probe"},
	ReadFailed:   {"read_failed", "the probe could not be read"},
	Silent:       {"silent", "the probe answered nothing"},
	Malformed:    {"malformed", "the probe's record makes no sense"},
	BadChecksum:  {"bad_checksum", "the probe's record was damaged on its way"},
	HeldLow:      {"held_low", "the record is all zeros: the bus is held low"},
	NotDriven:    {"not_driven", "the record is all ones: nothing drives the bus"},
	PowerOn:      {"power_on", "the record is the 85 °C of a probe that has just lost and regained its supply"},
	Unpowered:    {"unpowered", "the probe had too little supply to measure"},
	OutOfRange:   {"out_of_range", "the value is outside what the part can measure"},
	Unsupported:  {"unsupported", "this program cannot read the part"},
	Broken:       {"broken", "the probe or its cable is open"},
	Shorted:      {"shorted", "the probe or its cable is shorted"},
	Overvoltage:  {"overvoltage", "a terminal of the probe is at a voltage that cannot be"},
	Unsettled:    {"unsettled", "the measuring part did not finish"},
	Frozen:       {"frozen", "the raw figures do not move any more"},
	ReaderFailed: {"reader_failed", "this program failed while it read the probe"},
}

// FaultKinds lists all kinds, in a fixed order.
func FaultKinds() []FaultKind {
	kinds := make([]FaultKind, 0, len(kindTexts))
	for kind := NotYetRead; kind <= ReaderFailed; kind++ {
		kinds = append(kinds, kind)
	}
	return kinds
}

// Error says in words what the kind means.
func (k FaultKind) Error() string {
	if text, known := kindTexts[k]; known {
		return text.words
	}
	return fmt.Sprintf("unknown kind of fault %d", uint8(k))
}

// Label is a short fixed name of the kind, in lower case with underscores.
func (k FaultKind) Label() string {
	if text, known := kindTexts[k]; known {
		return text.label
	}
	return "unknown"
}

// Fault is why a sample has no value.
type Fault struct {
	Kind FaultKind
	// Detail adds to the words of the kind what was seen and what to check.
	Detail string
	// Since is the Clock instant of the first of the unbroken row of faults of
	// this kind: "absent since".
	Since time.Duration
	// Cause is the error underneath; nil when there is none.
	Cause error
}

// Error puts kind, detail and cause into one line.
func (f *Fault) Error() string {
	text := f.Kind.Error()
	if f.Detail != "" {
		text += ": " + f.Detail
	}
	if f.Cause != nil {
		text += ": " + f.Cause.Error()
	}
	return text
}

// Unwrap gives the kind and, where there is one, the cause.
func (f *Fault) Unwrap() []error {
	if f.Cause == nil {
		return []error{f.Kind}
	}
	return []error{f.Kind, f.Cause}
}

func faultf(kind FaultKind, format string, args ...any) *Fault {
	return &Fault{Kind: kind, Detail: fmt.Sprintf(format, args...)}
}

// faultRow dates the faults of one probe.
type faultRow struct {
	kind  FaultKind // 0 when the last sample had a value
	since time.Duration
}

// date sets since when there is an unbroken row of faults of this kind.
func (r *faultRow) date(fault *Fault, taken time.Duration) {
	if r.kind != fault.Kind {
		r.kind, r.since = fault.Kind, taken
	}
	fault.Since = r.since
}

func (r *faultRow) end() { r.kind = 0 }
