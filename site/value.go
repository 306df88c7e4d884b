package site

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// key reads one key of a table, or gives it its default.
func (w *walker) key(k *key, tab *table, path, name string, data map[string]any, written bool, t *target) {
	own := join(path, k.name)
	raw, there := data[k.name]
	switch {
	case there:
		if what, do := k.read(raw, t); what != "" {
			w.wrong(join(name, k.name), w.at(own), what, do)
			return
		}
		w.sound[own] = true
	case w.meant[own]:
	case k.required && written:
		where := "write it under " + tab.header(name)
		if name == "" {
			where = "write it at the top of the file, above the first header"
		}
		w.wrong(join(name, k.name), w.where(path), "this key is missing", where+", such as "+k.sample())
	case k.kind == setting:
		w.sound[own] = true // keeps what the settings table or the house has given it
	case k.def != "":
		k.readDefault(t)
		w.sound[own] = true
	}
}

// read reads a value; what is empty when it is right.
func (k *key) read(raw any, t *target) (what, do string) {
	switch k.kind {
	case yesNo:
		on, ok := raw.(bool)
		if !ok {
			return "this is " + sortOf(raw), "write true or false, without quotes"
		}
		k.set(t, value{on: on})
		return "", ""
	case wholeNumber:
		n, ok := raw.(int64)
		if !ok {
			return "this is " + sortOf(raw), "write a whole number from " + k.allowed() + ", without quotes or unit"
		}
		if float64(n) < k.min || float64(n) > k.max {
			return fmt.Sprintf("%d is outside of what is allowed", n), "write a whole number from " + k.allowed()
		}
		k.set(t, value{number: float64(n)})
		return "", ""
	}
	text, ok := raw.(string)
	switch {
	case !ok:
		return "this is " + sortOf(raw), k.inQuotes(raw)
	case len(text) > maxText:
		return fmt.Sprintf("the text is %d letters long", len(text)), "write " + k.allowed()
	}
	return k.readText(text, t)
}

func (k *key) readText(text string, t *target) (what, do string) {
	switch k.kind {
	case quantity:
		v, err := k.unit.Parse(text)
		if err != nil {
			return k.split(err)
		}
		if !(v >= k.min && v <= k.max) {
			return strconv.Quote(text) + " is outside of what is allowed", "write a value from " + k.allowed()
		}
		k.set(t, value{number: v})
	case setting:
		if err := k.setting.Set(t.settings, text); err != nil {
			return k.split(err)
		}
	case choice:
		if !slices.Contains(k.choices, text) {
			return strconv.Quote(text) + " is not known here", "write " + k.allowed()
		}
		k.set(t, value{text: text})
	default:
		if what := k.form.wrong(text); what != "" {
			return what, "write " + k.form.allowed
		}
		k.set(t, value{text: text})
	}
	return "", ""
}

// readDefault can only fail when the schema is wrong; a test reads every
// default.
func (k *key) readDefault(t *target) {
	var raw any = k.def
	switch k.kind {
	case yesNo:
		raw = k.def == "true"
	case wholeNumber:
		n, _ := strconv.ParseInt(k.def, 10, 64)
		raw = n
	}
	if what, _ := k.read(raw, t); what != "" {
		panic("site: default of " + k.name + ": " + what)
	}
}

// split takes an error of the control package apart: what is wrong stands
// before its last semicolon, what to do behind.
func (k *key) split(err error) (what, do string) {
	text := err.Error()
	if i := strings.LastIndex(text, "; "); i >= 0 {
		what, do = text[:i], text[i+2:]
		if strings.HasPrefix(do, "write for example") { // the key's own example is the better one
			do = "write a value from " + k.allowed() + ", such as " + k.sample()
		}
		return what, do
	}
	text, _, _ = strings.Cut(text, ", ")
	return text, "write a value from " + k.allowed()
}

// inQuotes says how to write what was not written as a text.
func (k *key) inQuotes(raw any) string {
	unit, measured := k.unit, k.kind == quantity
	if k.kind == setting && !k.setting.IsWindows() {
		unit, measured = k.setting.Unit, true
	}
	var v float64
	switch n := raw.(type) {
	case int64:
		v = float64(n)
	case float64:
		v = n
	default:
		return "write " + fromTo(measured) + k.allowed() + ", in quotes"
	}
	if !measured || math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e9 {
		return "write " + fromTo(measured) + k.allowed() + ", in quotes"
	}
	return "write it in quotes with its unit, such as " + k.name + " = " + strconv.Quote(unit.Format(v))
}

func fromTo(span bool) string {
	if span {
		return "a value from "
	}
	return ""
}
