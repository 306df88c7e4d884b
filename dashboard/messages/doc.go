// Package messages tells a broker of MQTT what the page shows, and takes what it
// lets others ask: each reading, decision, finding and count under a topic of its own,
// kept by the broker for whoever comes later. deploy/messages.md has the topics.
//
// What is told are the objects of the JSON interface, and what is asked goes through
// that interface, as by a person with the role that the site file gives to messages:
// there is nothing here that could not be seen or asked there, and protections
// outrank all of it.
//
// It decides nothing and holds nobody up. Of ticks it keeps the newest alone, and
// works on a goroutine of its own: a broker that is slow, gone or hostile costs a
// connection, never a tick, and memory is bounded. Whatever changed meanwhile is told
// when the broker is back. Nothing that is read of it is trusted: package mqtt bounds
// what comes in, and whatever can't be done is answered in words.
package messages
