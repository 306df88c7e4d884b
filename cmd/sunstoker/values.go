package main

import "errors"

// fileName is the value of a flag that may be left out, but not be empty: that is
// most often a variable of a script that holds nothing.
type fileName string

// UnmarshalText takes the word behind the flag as it stands.
func (f *fileName) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		return errors.New("the value is empty; write a name, or leave the flag out")
	}
	*f = fileName(text)
	return nil
}
