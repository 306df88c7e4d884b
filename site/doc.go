// Package site reads the one file that describes an installation: the place,
// the systems, how probes and outputs are wired, and the settings.
//
// The file is TOML. A quantity is a text with its unit ("8 K", "4 m²"), so that
// a wrong unit is an error and never a wrong number. Reading is strict: a key
// that is not known, a value out of range, a reading that an output needs and
// that is not wired, are mistakes. [Parse] reports all mistakes of a file in
// one go, each with its line and with what to do.
//
// Every key stands in one row of the schema (schema_*.go) with its unit,
// limits, default and meaning. Reading, the starter file ([Starter]) and the
// reference page ([Reference]) all come from these rows; the rows of the
// settings come from the control package's own table.
//
// # How a file is read
//
//  1. The text is looked at as text: size, encoding (text.go).
//  2. The TOML library reads it into generic data and refuses what is no TOML
//     or is written twice (syntax.go). Where each key stands is taken from the
//     library's parser (positions.go).
//  3. The schema is walked over the data (walk.go, value.go, unknown.go).
//  4. The plant is looked at as a whole (check_*.go): wiring, antifreeze
//     against the coldest night, settings against each other and against the
//     fluid's boiling point.
//  5. Probes and outputs are put in their fixed order (plan.go).
package site
