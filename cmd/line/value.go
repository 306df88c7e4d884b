package line

import (
	"encoding"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Value is an argument or a flag. It is what package pflag sets.
type Value struct {
	Name, Help string
	Choices    []string // it must be one of them, where there are any
	Optional   bool     // an argument that may be left out

	standIn string // for the value in help
	text    string // as it was given last
	alone   bool
	target  reflect.Value
}

func newValue(name string, tag reflect.StructTag, target reflect.Value) (*Value, error) {
	v := &Value{Name: name, Help: tag.Get("help"), standIn: tag.Get("placeholder"), target: target}
	_, v.Optional = tag.Lookup("optional")
	_, v.alone = tag.Lookup("alone")
	if enum, closed := tag.Lookup("enum"); closed {
		v.Choices = strings.Split(enum, ",")
	}
	if text, has := tag.Lookup("default"); has {
		if err := v.Set(text); err != nil {
			return nil, err
		}
	}
	return v, known(target)
}

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

// String is the text that was given, or the default.
func (v *Value) String() string { return v.text }

// Type is what stands for the value in help.
func (v *Value) Type() string {
	switch {
	case v.target.Kind() == reflect.Bool:
		return "bool" // which stands in help without a value
	case v.standIn != "":
		return v.standIn
	case len(v.Choices) > 0:
		return strings.Join(v.Choices, "|")
	}
	return strings.ToUpper(v.Name)
}

// Behind is what follows a flag's name in a text: "=FILE", or nothing where no value
// does.
func (v *Value) Behind() string {
	if v.target.Kind() == reflect.Bool {
		return ""
	}
	return "=" + v.Type()
}

// Set reads a word into the value's field.
func (v *Value) Set(text string) error {
	if len(v.Choices) > 0 && !slices.Contains(v.Choices, text) {
		return fmt.Errorf("%q is none of %s", text, strings.Join(v.Choices, ", "))
	}
	v.text = text
	return read(text, v.target)
}

func (v *Value) many() bool { return v.target.Kind() == reflect.Slice }

// AsArgument is how an argument stands in help: "<site>", "[<file>]".
func (v *Value) AsArgument() string {
	text := "<" + v.Name + ">"
	if v.many() {
		text += " ..."
	}
	if v.Optional {
		text = "[" + text + "]"
	}
	return text
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
