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
// Why no library: the two of the paho project cost 0.23 and 0.37 MB of the program's
// file, this package 35 kB. The decoder of the newer one makes room for whatever length
// a broker announces; that was read in its source, not provoked. Of the older one the
// size alone was looked at. With room to spare in the file a library is the better way.
package mqtt
