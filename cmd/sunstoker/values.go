package main

import (
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"time"

	"github.com/alecthomas/kong"
)

var errNoValue = errors.New("a value must follow it")

// plainValues read the values of flags, and say in plain words what is wrong
// with one.
func plainValues() []kong.Option {
	return []kong.Option{
		kong.TypeMapper(reflect.TypeFor[time.Duration](), plainValue(func(text string, into reflect.Value) error {
			d, err := time.ParseDuration(text)
			if err != nil {
				return fmt.Errorf("%q is no length of time; write a number with its unit, such as 90s, 2m or 1h30m", text)
			}
			into.SetInt(int64(d))
			return nil
		})),
		kong.KindMapper(reflect.Float64, plainValue(func(text string, into reflect.Value) error {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				return fmt.Errorf("%q is no number; write it such as 360 or 0.5", text)
			}
			into.SetFloat(v)
			return nil
		})),
		kong.KindMapper(reflect.Uint64, plainValue(func(text string, into reflect.Value) error {
			v, err := strconv.ParseUint(text, 10, 64)
			if err != nil {
				return fmt.Errorf("%q is no whole number from 0 up", text)
			}
			into.SetUint(v)
			return nil
		})),
		kong.KindMapper(reflect.String, kong.MapperFunc(func(ctx *kong.DecodeContext, into reflect.Value) error {
			token := ctx.Scan.Pop()
			text, ok := token.Value.(string)
			if !ok || !token.IsValue() {
				return errNoValue
			}
			into.SetString(text)
			return nil
		})),
	}
}

// plainValue takes the word behind a flag as it stands, a minus sign in front
// of it included.
func plainValue(read func(text string, into reflect.Value) error) kong.MapperFunc {
	return func(ctx *kong.DecodeContext, into reflect.Value) error {
		token := ctx.Scan.Pop()
		text, ok := token.Value.(string)
		if token.IsEOL() || !ok {
			return errNoValue
		}
		return read(text, into)
	}
}

// texts are the values of a flag that may be given several times.
type texts []string

// Decode takes the word behind the flag as it stands.
func (t *texts) Decode(ctx *kong.DecodeContext) error {
	token := ctx.Scan.Pop()
	text, ok := token.Value.(string)
	if !ok || !token.IsValue() {
		return errNoValue
	}
	*t = append(*t, text)
	return nil
}

// fileName is the value of a flag that may be left out, but not be empty: that is
// most often a variable of a script that holds nothing.
type fileName string

// Decode takes the word behind the flag as it stands.
func (f *fileName) Decode(ctx *kong.DecodeContext) error {
	token := ctx.Scan.Pop()
	text, ok := token.Value.(string)
	switch {
	case !ok || !token.IsValue():
		return errNoValue
	case text == "":
		return errors.New("the value is empty; write a name, or leave the flag out")
	}
	*f = fileName(text)
	return nil
}
