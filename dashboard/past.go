package dashboard

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"sunstoker/history"
)

// Past is what a house's history keeps; [history.History] is one.
type Past interface {
	// Open opens it for reading, for one question.
	Open() (*history.Reader, error)
	// Trouble says why nothing is written now; empty when all is well.
	Trouble() string
}

var _ Past = (*history.History)(nil)

// How the history is asked. A question holds some megabytes and a core while it is
// read, and a tick may have to wait for the core for some milliseconds.
const (
	mostReaders = 1
	readPlace   = 2 * time.Second // for which a question waits for its turn
	readTimeout = 5 * time.Second // after which it is dropped
)

// question is what is asked of the past.
type question struct {
	history *history.Reader
	query   *query
	zone    *time.Location // of the house
	trouble string         // why nothing is written now
}

// fromPast makes a handler of a function that reads an answer from the history.
func (d *Dashboard) fromPast(read func(context.Context, *question) (any, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		plan := d.plan()
		if plan == nil {
			refuseEarly(w, r)
			return
		}
		query, err := queryOf(r, zoneOf(plan))
		if err != nil {
			refuseUnread(w, r, err)
			return
		}
		if d.past == nil {
			Refuse(w, r, http.StatusNotFound, keptNowhere)
			return
		}
		found, err := d.readPast(r.Context(), func(ctx context.Context, h *history.Reader) (any, error) {
			return read(ctx, &question{history: h, query: query, zone: zoneOf(plan), trouble: d.past.Trouble()})
		})
		if err != nil {
			refusePast(w, r, err)
			return
		}
		answer(w, r, found)
	}
}

const keptNowhere = "This house keeps no history: kept = false stands under [history] in its site file."

var (
	errNoPlace = errors.New("the history is being asked by others as often as this board bears")
	errTooLong = fmt.Errorf("the history was not read within %v: ask for less time at once", readTimeout)
)

// readPast reads from the history once there is a place for it. What it gives is
// written to whoever asks without holding that place.
func (d *Dashboard) readPast(ctx context.Context, read func(context.Context, *history.Reader) (any, error)) (found any, err error) {
	wait := time.NewTimer(readPlace)
	defer wait.Stop()
	select {
	case d.readers <- struct{}{}:
		defer func() { <-d.readers }()
	case <-wait.C:
		return nil, errNoPlace
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	ctx, cancel := context.WithTimeout(ctx, readTimeout)
	defer cancel()
	h, err := d.past.Open()
	if err != nil {
		return nil, err
	}
	found, err = read(ctx, h)
	if ctx.Err() == context.DeadlineExceeded {
		err = errTooLong
	}
	return found, errors.Join(err, h.Close())
}

// refusePast says why nothing came of a question.
func refusePast(w http.ResponseWriter, r *http.Request, err error) {
	if _, is := errors.AsType[*badRequest](err); is {
		refuseUnread(w, r, err)
		return
	}
	later := 60 * time.Second // for somebody to look after the storage
	if errors.Is(err, errNoPlace) || errors.Is(err, errTooLong) {
		later = readTimeout
	}
	w.Header().Set("Retry-After", strconv.Itoa(int(later.Seconds())))
	Refuse(w, r, http.StatusServiceUnavailable, "Nothing could be read: "+err.Error()+".")
}
