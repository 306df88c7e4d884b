// Package door stands between the network and the page: it decides who comes
// in, who may do what, and how much of the board one caller can take.
//
// Every way in names the least [Role] that it takes, in one table of the
// package that serves it, and is wrapped by [Needs]. A request carries the
// [Person] who asks. One that has come through no door carries nobody, and
// nobody may do nothing: what is forgotten is shut.
//
// # Two kinds of entrance
//
// The address that an [Entrance] listens on says what is asked of callers.
//
// On loopback there is no password. Whoever runs any program on the board
// reaches it, and so does whoever a web server on the board lets through;
// nobody there has shown who he is. So he may see, and the site file alone can
// open more to him (the key "board" of its table "people"): whoever can write
// that file can change every limit anyway, so nothing is given away that he does
// not have. Who sends a name with its password has the role of that name there
// too.
//
// On every other address there is TLS and a password, always. Passwords come
// by HTTP's basic authentication (RFC 7617), which browsers, curl and
// Prometheus speak without further ado: the browser asks for name and password
// and sends them with every request to this origin. There are no cookies and
// no sessions that could be stolen, fixed or ridden.
//
// # Who is who, and who may what
//
// The two questions are answered in two places, and each in one place alone.
//
// Who is who is told by the exporters' web configuration: the file in which
// Prometheus exporters keep certificate and bcrypt hashes of passwords, named by
// web_configuration. Roles are not in it, since the format knows none, and a
// file that other programs read must not be stretched.
//
// Who may do what stands in the site file, in its table "people": names that may
// install, names that may use. Whoever has a password and is not named there may
// see. The site file is the one text that says what this house is; it is strict,
// checked with line and cure, and its writer holds all keys already.
//
// The format is read here and not by the exporters' own library, which lets a caller
// try passwords without end, keeps them in clear in memory, reads the file anew for
// every request, and with all it brings takes the program's file over its bar. Tests
// hold every file that is taken here against that library. What is left out of the
// format (certificates of callers, own headers, HTTP/2) is refused with words, never
// passed over.
//
// # The first person
//
// No password is made up by the program. Where it shall listen on the network
// and no web configuration is there, it makes a key and a certificate, and a
// set-up code of 100 random bits, which it says once, in its log. Until a person
// has come with that code nothing but the set-up page is served on the network.
// With it one of those who may install, by the site file, sets a password; the
// file is written, and the code is gone. It is gone as well when the program
// ends, or after a day. A lost password is set anew by taking the web
// configuration away and starting the program again, which takes somebody who
// may do so on the board.
//
// # What one caller can take
//
// Connections are bounded, in all and by address. When there are too many, one
// that has no request under way has to go, the longest silent first, so that
// slow callers push out each other, and not those who watch. Headers, bodies and
// the time for either are bounded before a handler sees them. Wrong passwords
// are bounded by address and in all, before anything is computed: a flood costs
// the board a computed hash a minute. A right one is remembered, with the address it
// came from, by a keyed digest, so that it is computed once.
//
// That bound has a price: while many addresses try passwords, somebody who has not
// come in from his address before has to wait. It never touches the tick.
package door
