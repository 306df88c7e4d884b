package sim

import (
	"time"

	"sunstoker/sim/plant"
)

// houseFault is what is broken about the house as a whole; zero is sound.
type houseFault struct {
	outputs    plant.Outputs // of all systems
	busSilent  bool
	busShiftK  float64 // all temperature probes, at all times
	busHumK    float64 // and as a slow wave, see humPeriod
	nobodyHome bool
	boardC     float64 // 0: as warm as usual

	clockUnset      bool
	clockOff        time.Duration
	clockJump       time.Duration // there and back each jumpEvery
	clockJumpsSince time.Duration

	storage Storage
}

// jumpEvery is how long a clock that jumps stays where it is.
const jumpEvery = time.Hour

// addOutputs adds what is wrong with the board to a system's outputs.
func (f *houseFault) addOutputs(o *plant.Outputs) {
	h := &f.outputs
	o.PowerCut = o.PowerCut || h.PowerCut
	o.PowerDips = o.PowerDips || h.PowerDips
	o.Held = o.Held || h.Held
	o.Inverted = o.Inverted || h.Inverted
	o.On = o.On || h.On
	o.Fought = o.Fought || h.Fought
}

// Storage is what is wrong with the board's storage; the zero value is sound.
type Storage struct {
	Full     bool // nothing can be written
	ReadOnly bool // nothing can be written
	Tears    bool // of what is written only a first part arrives, and nobody is told
}

// boardAboveRoomK is how much warmer than the room a small computer's processor
// is in an open box (common practice, no source).
const boardAboveRoomK = 25

// BoardC is the temperature in degC of the processor that runs the controller.
func (h *House) BoardC() float64 {
	if h.broken.boardC > 0 {
		return h.broken.boardC
	}
	return h.config.RoomC + boardAboveRoomK
}

// houseFaultKinds happen to mains power, board, bus, clock, storage or people.
var houseFaultKinds = []FaultKind{
	{Name: "mains power cut", Meaning: "nothing is driven while it lasts",
		breakHouse: func(h *houseFault, _ plannedFault) { h.outputs.PowerCut = true }},
	{Name: "mains power dips", Meaning: "short cuts, one every ten minutes",
		breakHouse: func(h *houseFault, _ plannedFault) { h.outputs.PowerDips = true }},
	{Name: "outputs hold their last level", Meaning: "a board that hangs or a program that was killed: whatever is asked, nothing changes",
		breakHouse: func(h *houseFault, _ plannedFault) { h.outputs.Held = true }},
	{Name: "outputs inverted", Meaning: "relays that switch on by a low level, taken for the other kind",
		breakHouse: func(h *houseFault, _ plannedFault) { h.outputs.Inverted = true }},
	{Name: "outputs on at start", Meaning: "lines that rest high: everything is on until the program has them",
		breakHouse: func(h *houseFault, _ plannedFault) { h.outputs.On = true }},
	{Name: "outputs driven by a second program", Meaning: "every other ten seconds they do the opposite",
		breakHouse: func(h *houseFault, _ plannedFault) { h.outputs.Fought = true }},
	{Name: "probe bus silent", Meaning: "hung or shorted: no probe gives a reading",
		breakHouse: func(h *houseFault, _ plannedFault) { h.busSilent = true }},
	{Name: "probe bus shifted", Meaning: "a sagging supply or a wrong reference: all temperature probes are off by the same",
		Amount: "error in K", UsualAmount: 4, Least: -100, Most: 100,
		breakHouse: func(h *houseFault, f plannedFault) { h.busShiftK += f.amount }},
	{Name: "probe bus hums", Meaning: "the mains couple into all temperature cables: every probe swings by the same slow wave",
		Amount: "swing to each side in K", UsualAmount: 2, Least: 0, Most: 100,
		breakHouse: func(h *houseFault, f plannedFault) { h.busHumK = max(h.busHumK, f.amount) }},
	{Name: "board too hot", Meaning: "a sealed box or a hot plant room: the board says so, and slows down",
		Amount: "temperature of its processor in degC", UsualAmount: 88, Least: 60, Most: 125,
		breakHouse: func(h *houseFault, f plannedFault) { h.boardC = max(h.boardC, f.amount) }},
	{Name: "clock not set", Meaning: "no battery and no network: it counts from 1970 and says so",
		breakHouse: func(h *houseFault, _ plannedFault) { h.clockUnset = true }},
	{Name: "clock wrong", Meaning: "the wall time is off and nobody has noticed",
		Amount: "error in hours", UsualAmount: 7, Least: -1e5, Most: 1e5,
		breakHouse: func(h *houseFault, f plannedFault) { h.clockOff += hours(f.amount) }},
	{Name: "clock jumps", Meaning: "a synchronisation that moves it there and back each hour",
		Amount: "jump in hours", UsualAmount: 3, Least: -1e5, Most: 1e5,
		breakHouse: func(h *houseFault, f plannedFault) { h.clockJump, h.clockJumpsSince = hours(f.amount), f.Start }},
	{Name: "storage full", Meaning: "nothing can be written",
		breakHouse: func(h *houseFault, _ plannedFault) { h.storage.Full = true }},
	{Name: "storage read-only", Meaning: "a worn card: nothing can be written",
		breakHouse: func(h *houseFault, _ plannedFault) { h.storage.ReadOnly = true }},
	{Name: "storage tears writes", Meaning: "of what is written only a first part arrives, as when the power goes meanwhile",
		breakHouse: func(h *houseFault, _ plannedFault) { h.storage.Tears = true }},
	{Name: "nobody at home", Meaning: "no water is drawn",
		breakHouse: func(h *houseFault, _ plannedFault) { h.nobodyHome = true }},
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

// Clock is the wall clock of whoever runs the controller: its time, in UTC, and
// whether the board trusts it. Without a fault it is Now, trusted.
func (h *House) Clock() (wall time.Time, trusted bool) {
	f := &h.broken
	if f.clockUnset {
		return time.Unix(0, 0).UTC().Add(h.elapsed), false
	}
	off := f.clockOff
	if f.clockJump != 0 && (h.elapsed-f.clockJumpsSince)/jumpEvery%2 == 0 {
		off += f.clockJump
	}
	return h.config.Start.Add(h.elapsed + off), true
}

// MainsOn tells whether there is mains power. Without it nothing is driven, and
// a board without a battery does not run either.
func (h *House) MainsOn() bool { return h.systems[0].plant.Powered() }

// Storage tells what is wrong with the board's storage. The simulator itself
// writes nothing.
func (h *House) Storage() Storage { return h.broken.storage }
