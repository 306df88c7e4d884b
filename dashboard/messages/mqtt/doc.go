// Package mqtt is the client's side of MQTT 3.1.1 (OASIS standard, 2014), as far as a
// program needs it that tells what it sees and takes a request now and then: connect
// with a will, publish at least once ("quality of service 1"), subscribe, ping.
// Sessions are clean: what the broker kept for this client in its absence is dropped,
// and what it sends a second time is not handed on again.
//
// Whatever a broker, or somebody behind it, sends is bounded: a packet that the
// standard does not allow ends the connection, and of a payload that is too long the
// first part is kept and the rest skipped. No length that was announced is allocated.
// Nothing waits for longer than its timeout.
//
// Why no library: docs/decisions/messages-client.md has what two of them cost, and what
// they make of a hostile broker.
package mqtt
