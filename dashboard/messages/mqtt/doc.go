// Package mqtt is the client's side of MQTT 3.1.1 (OASIS standard, 2014), as far as a
// program needs it that tells what it sees and takes a request now and then: connect
// with a will, publish at least once ("quality of service 1"), subscribe, ping.
// Sessions are clean: what the broker kept for this client in its absence is dropped.
//
// Whatever a broker, or somebody behind it, sends is bounded: a packet that the
// standard does not allow ends the connection, and of a payload that is too long the
// first part is kept and the rest skipped. No length that was announced is allocated.
// Nothing waits for longer than its timeout.
//
// The client libraries that could be had make room for whatever length a broker
// announces, up to 256 MB, and run on goroutines of their own, where a packet out of
// turn can end the whole program. This one has a tenth of their size.
package mqtt
