package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// faultForm is how a fault is written, see House.ParseFault.
const faultForm = `NAME [amount NUMBER] [system NAME] [probe PLACE] [with PLACE] [at TIME] [for TIME]`

// ParseFault reads a fault of this house from words:
//
//	NAME [amount NUMBER] [system NAME] [probe PLACE] [with PLACE] [at TIME] [for TIME]
//
// such as "pump weak amount 0.7 at 40d for 3d" or "probe missing probe tank top
// at 12h". NAME is one of FaultKinds; what follows it may stand in any order.
// The amount is in the unit of the kind; without it the kind's usual one is
// taken. The system may be left out where the house has one, or where the probe
// tells. The place is that of a probe, with blanks or underscores; "with" names
// the second one of a pair. A name that holds one of the words before can be set
// in quotes. TIME is a length of time such as 40d, 12h, 90m, 30s or 1d12h: "at"
// counts from the start of the run (left out, from the start on), "for" from
// there (left out, for good). Errors say what to write instead.
func (h *House) ParseFault(text string) (Fault, error) {
	words, err := splitWords(text)
	if err != nil {
		return Fault{}, err
	}
	if len(words) > 0 && words[0].quoted { // the name itself; no clause can be mistaken for it
		words = append(unquoted(words[0].text), words[1:]...)
	}
	kind, rest := leadingKind(words)
	if kind == nil {
		return Fault{}, unknownFault(words)
	}
	said, err := readClauses(kind, rest)
	if err != nil {
		return Fault{}, fmt.Errorf("fault %q: %w", kind.Name, err)
	}
	f, err := h.resolve(kind, said)
	if err != nil {
		return Fault{}, fmt.Errorf("fault %q: %w", kind.Name, err)
	}
	return f, nil
}

// word is a word of a fault's text; a quoted one is never a clause's name.
type word struct {
	text   string
	quoted bool
}

func splitWords(text string) ([]word, error) {
	var out []word
	for text = strings.TrimSpace(text); text != ""; text = strings.TrimSpace(text) {
		if text[0] == '"' {
			end := strings.IndexByte(text[1:], '"')
			if end < 0 {
				return nil, errors.New(`a quote is opened and not closed; write "the name"`)
			}
			out = append(out, word{text[1 : 1+end], true})
			text = text[end+2:]
			continue
		}
		end := strings.IndexAny(text, " \t\r\n\"")
		if end < 0 {
			end = len(text)
		}
		out = append(out, word{text[:end], false})
		text = text[end:]
	}
	return out, nil
}

func unquoted(text string) (out []word) {
	for _, w := range strings.Fields(text) {
		out = append(out, word{text: w})
	}
	return out
}

// leadingKind is the kind of the longest name that the words begin with.
func leadingKind(words []word) (kind *FaultKind, rest []word) {
	longest := 0
	for i := range faultKinds {
		name := strings.Fields(faultKinds[i].Name)
		if len(name) > longest && startsWith(words, name) {
			kind, longest = &faultKinds[i], len(name)
		}
	}
	return kind, words[longest:]
}

func startsWith(words []word, name []string) bool {
	if len(words) < len(name) {
		return false
	}
	for i, n := range name {
		if words[i].quoted || !strings.EqualFold(words[i].text, n) {
			return false
		}
	}
	return true
}

// unknownFault lists the names by part.
func unknownFault(words []word) error {
	var asked []string
	for _, w := range words {
		asked = append(asked, w.text)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "there is no fault %q; begin with one of these names:", strings.Join(asked, " "))
	for _, part := range FaultParts() {
		fmt.Fprintf(&b, "\n  %s: %s", part, strings.Join(faultNames(part), ", "))
	}
	return errors.New(b.String())
}

func faultNames(part string) (names []string) {
	for i := range faultKinds {
		if faultKinds[i].Part == part {
			names = append(names, faultKinds[i].Name)
		}
	}
	return names
}

// The names of clauses.
const (
	clauseAmount = "amount"
	clauseSystem = "system"
	clauseProbe  = "probe"
	clauseWith   = "with"
	clauseAt     = "at"
	clauseFor    = "for"
)

var clauseNames = []string{clauseAmount, clauseSystem, clauseProbe, clauseWith, clauseAt, clauseFor}

// readClauses gives the value of each clause by its name.
func readClauses(kind *FaultKind, words []word) (map[string]string, error) {
	said := map[string]string{}
	for len(words) > 0 {
		name := strings.ToLower(words[0].text)
		if words[0].quoted || !slices.Contains(clauseNames, name) {
			return nil, fmt.Errorf("%q is not understood; write %s", words[0].text, strings.Replace(faultForm, "NAME", kind.Name, 1))
		}
		words = words[1:]
		var value []string
		for len(words) > 0 && (words[0].quoted || len(value) == 0 || !slices.Contains(clauseNames, strings.ToLower(words[0].text))) {
			value = append(value, words[0].text)
			words = words[1:]
		}
		if len(value) == 0 {
			return nil, fmt.Errorf("nothing follows %q; write %s", name, strings.Replace(faultForm, "NAME", kind.Name, 1))
		}
		if _, twice := said[name]; twice {
			return nil, fmt.Errorf("%q is written twice; leave one out", name)
		}
		said[name] = strings.Join(value, " ")
	}
	return said, nil
}

// resolve turns what was said into a fault of this house.
func (h *House) resolve(kind *FaultKind, said map[string]string) (f Fault, err error) {
	f.Name = kind.Name
	if text, ok := said[clauseAt]; ok {
		if f.Start, err = parseSpan(text); err != nil {
			return f, err
		}
	}
	if text, ok := said[clauseFor]; ok {
		if f.Duration, err = parseSpan(text); err == nil && f.Duration == 0 {
			err = fmt.Errorf("it lasts for %s, which is nothing; leave %q out for a fault that lasts for good", text, clauseFor)
		}
		if err != nil {
			return f, err
		}
	}
	if text, ok := said[clauseAmount]; ok {
		amount, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return f, fmt.Errorf("the amount %q is no number; write it such as 0.5, without a unit", text)
		}
		if amount, err = kind.check(amount); err != nil {
			return f, err
		}
		f.Amount = &amount
	}
	return f, h.resolveTarget(kind, said, &f)
}

// resolveTarget finds out what the fault happens to.
func (h *House) resolveTarget(kind *FaultKind, said map[string]string, f *Fault) error {
	for _, no := range []struct {
		clause string
		unfit  bool
	}{
		{clauseSystem, kind.OfHouse()}, {clauseProbe, !kind.OfProbe()}, {clauseWith, !kind.swaps},
	} {
		if text, ok := said[no.clause]; ok && no.unfit {
			return fmt.Errorf("it does not happen to a %s, so leave out %q", map[string]string{clauseSystem: "single system", clauseProbe: "probe", clauseWith: "pair of probes"}[no.clause], no.clause+" "+text)
		}
	}
	system := -1
	if name, ok := said[clauseSystem]; ok {
		var err error
		if system, err = h.systemSaid(name); err != nil {
			return err
		}
	}
	switch {
	case kind.OfHouse():
		return nil
	case kind.OfProbe():
		return h.resolveProbes(kind, said, system, f)
	case system < 0 && len(h.systems) > 1:
		return fmt.Errorf(`the house has several systems, %s; write which: system %s`, h.systemList(), h.systems[0].name)
	}
	f.System = max(0, system)
	return h.checkNeeds(kind, f.System)
}

func (h *House) systemSaid(name string) (int, error) {
	for i := range h.systems {
		if strings.EqualFold(h.systems[i].name, name) {
			return i, nil
		}
	}
	return 0, fmt.Errorf("the house has no system %q; it has %s", name, h.systemList())
}

func (h *House) systemList() string {
	names := make([]string, len(h.systems))
	for i := range h.systems {
		names[i] = strconv.Quote(h.systems[i].name)
	}
	return strings.Join(names, ", ")
}

func (h *House) resolveProbes(kind *FaultKind, said map[string]string, system int, f *Fault) error {
	first, err := h.probeSaid(clauseProbe, said[clauseProbe], system)
	if err != nil {
		return err
	}
	f.Probe = first
	if !kind.swaps {
		return h.checkPlace(kind, *f)
	}
	if f.Other, err = h.probeSaid(clauseWith, said[clauseWith], system); err != nil {
		return err
	}
	if f.Other == f.Probe {
		return fmt.Errorf("both probes are %q; write another one after %q", f.Probe, clauseWith)
	}
	return h.checkPlace(kind, *f)
}

// probeSaid is the name of the one probe at a place, of a system if that is not
// negative.
func (h *House) probeSaid(clause, place string, system int) (string, error) {
	if place == "" {
		return "", fmt.Errorf("it happens to a probe; write which: %s PLACE, of %s", clause, h.probeList(system))
	}
	var found []string
	for _, p := range h.probes {
		if (system < 0 || p.config.System == system) && (plainPlace(p.config.Place) == plainPlace(place) || strings.EqualFold(p.config.Name, place)) {
			found = append(found, p.config.Name)
		}
	}
	switch len(found) {
	case 0:
		return "", fmt.Errorf("there is no probe at %q; there are %s", place, h.probeList(system))
	case 1:
		return found[0], nil
	}
	return "", fmt.Errorf("several systems have a probe at %q; write which: system %s", place, h.systems[0].name)
}

func (h *House) probeList(system int) string {
	var places []string
	for _, p := range h.probes {
		if place := plainPlace(p.config.Place); (system < 0 || p.config.System == system) && !slices.Contains(places, place) {
			places = append(places, place)
		}
	}
	if len(places) == 0 {
		return "none: the house has no probes"
	}
	return strings.Join(places, ", ")
}

// plainPlace writes a place in lower case, with blanks.
func plainPlace(place string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(place), func(r rune) bool { return r == '_' || r == ' ' }), " ")
}

// mostSpan bounds a time in a fault's text, far from where durations overflow.
const mostSpan = 100 * 366 * 24 * time.Hour

var spanUnits = map[byte]time.Duration{'d': 24 * time.Hour, 'h': time.Hour, 'm': time.Minute, 's': time.Second}

// parseSpan reads a length of time of numbers with the units d, h, m and s.
func parseSpan(text string) (time.Duration, error) {
	wrong := fmt.Errorf("%q is no length of time; write it such as 40d, 12h, 90m or 1d12h", text)
	total := 0.0
	rest := strings.ReplaceAll(text, " ", "")
	if rest == "" {
		return 0, wrong
	}
	for rest != "" {
		digits := len(rest) - len(strings.TrimLeft(rest, "0123456789."))
		number, err := strconv.ParseFloat(rest[:digits], 64)
		if err != nil || digits == len(rest) || spanUnits[rest[digits]] == 0 {
			return 0, wrong
		}
		total += number * float64(spanUnits[rest[digits]])
		rest = rest[digits+1:]
	}
	if total > float64(mostSpan) {
		return 0, fmt.Errorf("%q is more than a hundred years; write less", text)
	}
	return time.Duration(math.Round(total)), nil
}
