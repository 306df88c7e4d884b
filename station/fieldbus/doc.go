// Package fieldbus speaks Modbus, over TCP or a serial line (RTU), with the
// modules that electricians put on a rail: registers are read, coils written.
//
// A [Line] is one connection. It may be used from several goroutines: requests
// go out one after the other, since a serial line knows no other way, and each
// has a deadline. A connection that failed is made anew at the next request; one
// that does not come about is waited for in the background, so that nobody waits
// longer than a request's deadline for it. Errors say what to check.
//
// Modbus has no password and no secret: whoever reaches the module can switch
// it. Keep it on a network of its own, never on one that is open to others.
//
// Function codes and exceptions: Modbus application protocol specification,
// V1.1b3; serial frames: Modbus over serial line, V1.02 (both as the library
// below implements them, from memory).
package fieldbus
