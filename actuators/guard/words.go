package guard

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"sunstoker/actuators"
)

// Lease is for how long a level holds that nobody asks for again.
const Lease = actuators.KeepFor

const (
	version     = 1     // of the words
	mostMessage = 16384 // bytes; far more than the wiring of 64 relays
)

// order is a message from the daemon, but for the first one.
type order struct {
	verb   string // "drive", "off" or "look"
	index  int    // of an output, or of a bank for "look"
	level  float64
	urgent bool
}

func (o order) String() string {
	text := o.verb + " " + strconv.Itoa(o.index)
	if o.verb != "drive" {
		return text
	}
	text += " " + strconv.FormatFloat(o.level, 'g', -1, 64)
	if o.urgent {
		text += " urgent"
	}
	return text
}

// errWords is the error of a message that nobody can understand. It can't come
// from a program of this version.
var errWords = errors.New("these words are not known here: daemon and guard are of different versions; restart both")

func parseOrder(text string) (order, error) {
	words := strings.Split(text, " ")
	if len(words) < 2 {
		return order{}, errWords
	}
	o := order{verb: words[0]}
	var err error
	if o.index, err = strconv.Atoi(words[1]); err != nil {
		return order{}, errWords
	}
	rest := words[2:]
	switch {
	case (o.verb == "off" || o.verb == "look") && len(rest) == 0:
		return o, nil
	case o.verb != "drive" || len(rest) < 1 || len(rest) > 2:
		return order{}, errWords
	}
	if o.level, err = strconv.ParseFloat(rest[0], 64); err != nil {
		return order{}, errWords
	}
	o.urgent = len(rest) == 2
	if o.urgent && rest[1] != "urgent" {
		return order{}, errWords
	}
	return o, nil
}

// hello is the first message: the version and the wiring.
func hello(wiring []string) string {
	return fmt.Sprintf("hello %d\n%s", version, strings.Join(wiring, "\n"))
}

// reply is an answer of the guard.
func reply(level float64, err error) string {
	text := "ok"
	if err != nil {
		text = err.Error()
	}
	return strconv.FormatFloat(level, 'g', -1, 64) + " " + text
}

// parseReply gives the level and the guard's own error.
func parseReply(text string) (level float64, told, err error) {
	figure, rest, whole := strings.Cut(text, " ")
	level, err = strconv.ParseFloat(figure, 64)
	if err != nil || !whole || !(level >= 0 && level <= 1) {
		return 0, nil, errWords
	}
	if rest != "ok" {
		told = errors.New(rest)
	}
	return level, told, nil
}
