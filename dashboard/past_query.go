package dashboard

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"
)

// query is what stands behind the ? of a question to the history. It takes
// nothing on trust: what is not known, said twice or out of bounds is refused.
type query struct {
	values url.Values
	zone   *time.Location
}

func queryOf(r *http.Request, zone *time.Location) (*query, error) {
	values, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return nil, malformed("What stands behind the ? can't be read: percent-encode it, such as ?from=2026-06-01&to=2026-07-01.")
	}
	return &query{values, zone}, nil
}

// only refuses what is not among the names, and what is said twice but for
// those that may be.
func (q *query) only(names []string, often ...string) error {
	for name, values := range q.values {
		switch {
		case !slices.Contains(names, name) && !slices.Contains(often, name):
			return malformed("%q is not known here: ask with %s.", shortened(name), quoted(slices.Concat(names, often)))
		case len(values) > 1 && !slices.Contains(often, name):
			return malformed("%q stands there twice: write it once.", name)
		}
	}
	return nil
}

// Bounds of instants, so that no sum of them leaves what the history can hold.
const (
	firstYear = 1970
	lastYear  = 2500
)

// instant gives an instant that must be there: as RFC 3339 has it, or a day of the
// house's civil time, which is its first moment.
func (q *query) instant(name string) (time.Time, error) {
	text := q.values.Get(name)
	at, err := time.ParseInLocation(time.DateOnly, text, q.zone)
	if err != nil {
		at, err = time.Parse(time.RFC3339, text)
	}
	switch {
	case text == "":
		return at, malformed("%q is missing: write a day or an instant, such as %s=2026-06-01 or %s=2026-06-01T10:00:00Z.", name, name, name)
	case err != nil:
		return at, malformed("%q: %q is neither a day nor an instant: write such as 2026-06-01 or 2026-06-01T10:00:00Z, with a + as %%2B.", name, shortened(text))
	case at.Year() < firstYear || at.Year() >= lastYear:
		return at, malformed("%q: %s lies outside of %d to %d.", name, shortened(text), firstYear, lastYear)
	}
	return at, nil
}

// between gives from and to, which must lie no further apart than so many days.
func (q *query) between(mostDays int) (from, to time.Time, err error) {
	if from, err = q.instant("from"); err != nil {
		return from, to, err
	}
	if to, err = q.instant("to"); err != nil {
		return from, to, err
	}
	switch {
	case !from.Before(to):
		return from, to, malformed(`"to" must lie behind "from".`)
	case to.Sub(from) > time.Duration(mostDays)*24*time.Hour:
		return from, to, malformed("From %s to %s are more than %d days: ask for less at once.", from.Format(time.DateOnly), to.Format(time.DateOnly), mostDays)
	}
	return from, to, nil
}

// whole gives a whole number within bounds, and what is usual when none is asked
// for.
func (q *query) whole(name string, usual, least, most int) (int, error) {
	text := q.values.Get(name)
	if text == "" {
		return usual, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < least || n > most {
		return 0, malformed("%q: %q is no whole number from %d to %d.", name, shortened(text), least, most)
	}
	return n, nil
}

// oneOf gives the place of a word in a list.
func oneOf(name, text string, words []string) (int, error) {
	at := slices.Index(words, text)
	if at < 0 {
		return 0, malformed("%q: %q is not known: write one of %s.", name, shortened(text), strings.Join(words, ", "))
	}
	return at, nil
}

// several gives what may be written more than once, so often at most.
func (q *query) several(name string, most int) ([]string, error) {
	list := q.values[name]
	if len(list) > most {
		return nil, malformed("%q stands there %d times: write it %s at most.", name, len(list), times(most))
	}
	return list, nil
}

func times(n int) string { return fmt.Sprintf("%d times", n) }
