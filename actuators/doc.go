// Package actuators turns what the controller wants into levels on real
// outputs: pumps, valves and backup heaters behind relays.
//
// Every kind is an [Output] and keeps the same promises, checked by one
// conformance suite:
//
//   - off is level 0 and is the safe state; opening an output drives it off;
//   - [Output.Level] is the level this package last drove, kept in memory. It
//     is never read from a line, since reading may turn an output into an input;
//   - [Output.Safe] drives off at once; [Output.Close] drives off, then releases;
//   - a level that is no number from 0 to 1 drives the output off and is an error;
//   - a call that fails leaves Level at what was last driven with success, so an
//     output that could not be switched off still says that it is on;
//   - outputs may be used from several goroutines.
//
// Kinds: [RelayBank] (relays on the kernel's GPIO line device), [LevelFile]
// (relays of the kernel's LED class, and plain files for tests with hardware in
// the loop), [Coil] (a relay in a Modbus module), [PWM] (a pump's speed by the
// kernel's PWM class) and [NewSimulated]. Around any of them: [Pace] holds
// minimum on and off times, [Pulse] makes a relay that only pulses hold,
// [Record] writes every change down, [All] drives many safe at once. Package
// guard holds outputs from a process of its own.
//
// # On the way out
//
// Use [All.Close] for the end of the program (end signal, panic, return from
// main): it leaves nothing on and later commands are refused. After Safe alone
// a late command can switch on again. No code runs on a kill, a hang or a power
// fault: then the kernel decides. Released GPIO lines fall back to inputs on
// many kernels and stay as last driven on others; LED-class outputs, coils and
// PWM channels always stay as last driven. A guard drops them when the program
// dies, and a drive that drops without pulses when the board does. An element
// needs its own safety temperature cut-out in any case.
//
// Mains wiring, relays and cut-outs are work for licensed people under the local
// code.
//
// # Each tick
//
// The caller first asks [RelayBank.ReadBack] and then sets every output, changed
// or not. Setting first would overwrite the trace of another program.
package actuators
