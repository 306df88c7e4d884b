package line

import (
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
)

var errNoValue = errors.New("a value must follow it")

// known is an error where a field has a type that can't be read.
func known(target reflect.Value) error {
	if _, reads := target.Addr().Interface().(encoding.TextUnmarshaler); reads {
		return nil
	}
	t := target.Type()
	switch {
	case t.Kind() == reflect.Pointer:
		return known(reflect.New(t.Elem()).Elem())
	case t == reflect.TypeFor[[]string](), slices.Contains([]reflect.Kind{reflect.String, reflect.Bool, reflect.Float64, reflect.Int, reflect.Uint64}, t.Kind()), t == reflect.TypeFor[time.Duration]():
		return nil
	}
	return fmt.Errorf("a %s can't be read; give it a method UnmarshalText", t)
}

// set reads a word into the value's field.
func (v *Value) set(text string) error {
	v.given = true
	if len(v.Choices) > 0 && !slices.Contains(v.Choices, text) {
		return fmt.Errorf("%q is none of %s", text, strings.Join(v.Choices, ", "))
	}
	return read(text, v.target)
}

func read(text string, into reflect.Value) error {
	if own, reads := into.Addr().Interface().(encoding.TextUnmarshaler); reads {
		return own.UnmarshalText([]byte(text))
	}
	switch {
	case into.Kind() == reflect.Pointer:
		fresh := reflect.New(into.Type().Elem())
		if err := read(text, fresh.Elem()); err != nil {
			return err
		}
		into.Set(fresh)
		return nil
	case into.Kind() == reflect.Slice:
		into.Set(reflect.Append(into, reflect.ValueOf(text)))
		return nil
	case into.Type() == reflect.TypeFor[time.Duration]():
		d, err := time.ParseDuration(text)
		if err != nil {
			return fmt.Errorf("%q is no length of time; write a number with its unit, such as 90s, 2m or 1h30m", text)
		}
		into.SetInt(int64(d))
		return nil
	}
	return readPlain(text, into)
}

func readPlain(text string, into reflect.Value) error {
	switch into.Kind() {
	case reflect.String:
		into.SetString(text)
	case reflect.Bool:
		on, err := strconv.ParseBool(text)
		if err != nil {
			return fmt.Errorf("%q is neither true nor false; the flag is on where it is named alone", text)
		}
		into.SetBool(on)
	case reflect.Float64:
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return fmt.Errorf("%q is no number; write it such as 360 or 0.5", text)
		}
		into.SetFloat(x)
	case reflect.Int:
		n, err := strconv.Atoi(text)
		if err != nil {
			return fmt.Errorf("%q is no whole number", text)
		}
		into.SetInt(int64(n))
	case reflect.Uint64:
		n, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			return fmt.Errorf("%q is no whole number from 0 up", text)
		}
		into.SetUint(n)
	}
	return nil
}

// takesMinus tells whether a word with a minus sign in front can be the value: it
// is a number's then, and another flag's name anywhere else.
func (v *Value) takesMinus() bool {
	t := v.target.Type()
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return slices.Contains([]reflect.Kind{reflect.Float64, reflect.Int, reflect.Int64, reflect.Uint64}, t.Kind())
}

// String is how the value stands in help: "-h, --help", "--speed=360", "<site>", "[<file>]".
func (v *Value) String() string {
	switch {
	case v.Short != "":
		return "-" + v.Short + ", --" + v.Name
	case !v.argument && v.Switch:
		return "--" + v.Name
	case !v.argument:
		return "--" + v.Name + "=" + v.standIn
	}
	text := "<" + v.Name + ">"
	if v.Many {
		text += " ..."
	}
	if v.Optional {
		text = "[" + text + "]"
	}
	return text
}

// StandIn is what stands for a flag's value in help: its default, or an example.
func (v *Value) StandIn() string { return strings.Trim(v.standIn, `"`) }
