// Package door stands between the network and the page: it decides who comes
// in, and who may do what.
//
// Every way in names the least [Role] that it takes, in one table of the
// package that serves it, and is wrapped by [Needs]. A request carries the
// [Person] who asks. One that has come through no door carries nobody, and
// nobody may do nothing: what is forgotten is shut.
package door
