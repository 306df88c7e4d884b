package station

import (
	"context"
	"strings"
	"sync/atomic"
	"time"

	"sunstoker/site"
	"sunstoker/station/request"
	"sunstoker/station/tick"
)

const (
	// deskPlaces is how many requests may wait for the next tick. Who comes too
	// late is told so at once: persons do not press so fast.
	deskPlaces = 8
	// graceForAnswer is how long, in real time, a request that a tick has taken
	// waits for that tick's end.
	graceForAnswer = 5 * time.Second
)

// Desk takes the requests of persons and lays them before the tick, which takes
// what lies there between two steps of the controller and waits for nobody.
// What takes long, such as the checks of a site file with a setting changed, is
// done on the goroutine of who asks.
type Desk struct {
	tickets  chan *ticket
	changing chan struct{} // a place for the one who works on the book
	book     atomic.Pointer[book]
}

var _ request.Desk = (*Desk)(nil)

// NewDesk makes the desk of a site for [BuildOptions].
func NewDesk(s *site.Site) *Desk {
	d := &Desk{tickets: make(chan *ticket, deskPlaces), changing: make(chan struct{}, 1)}
	d.book.Store(mustBook(newBook(s, nil, 0)))
	return d
}

// Book implements [request.Desk].
func (d *Desk) Book() *request.Book { return d.book.Load().shown }

// ticket is one request on its way.
type ticket struct {
	by      string
	request request.Request
	next    *book // that counts once the request is granted; nil for another kind of request
	state   atomic.Int32
	answer  chan answered // has room for one

	// What came of it, kept until the answer goes out.
	words   string
	refused error
	change  *request.Change
}

type answered struct {
	answer *request.Answer
	err    error
}

// Where a ticket is. Whoever changes it from waiting has it.
const (
	ticketWaits = iota
	ticketTaken
	ticketWithdrawn
)

// Ask implements [request.Desk].
func (d *Desk) Ask(ctx context.Context, by string, r request.Request) (*request.Answer, error) {
	t := &ticket{by: by, request: r, answer: make(chan answered, 1)}
	switch r.(type) {
	case request.Settings, request.Undo:
		return d.askChange(ctx, t)
	}
	return d.hand(ctx, t)
}

// hand lays a ticket before the tick and waits for what comes of it.
func (d *Desk) hand(ctx context.Context, t *ticket) (*request.Answer, error) {
	select {
	case d.tickets <- t:
	default:
		return nil, &request.Refusal{Kind: request.Busy, Words: "Too many requests wait for the controller. Ask again in a moment."}
	}
	select {
	case a := <-t.answer:
		return a.answer, a.err
	case <-ctx.Done():
	}
	if t.state.CompareAndSwap(ticketWaits, ticketWithdrawn) {
		return nil, &request.Refusal{Kind: request.Busy, Words: "The controller did not come to this request in time, so it is withdrawn. Look whether its readings are live, then ask again."}
	}
	grace := time.NewTimer(graceForAnswer)
	defer grace.Stop()
	select {
	case a := <-t.answer:
		return a.answer, a.err
	case <-grace.C:
		return nil, &request.Refusal{Kind: request.Busy, Words: "The controller has taken this request and did not come back with an answer. Look at what the outputs do before you ask again."}
	}
}

// askChange works out the book with a change in it, or without the newest one,
// and hands that over. One at a time: the next one begins with the book that
// this one leaves.
func (d *Desk) askChange(ctx context.Context, t *ticket) (*request.Answer, error) {
	select {
	case d.changing <- struct{}{}:
		defer func() { <-d.changing }()
	case <-ctx.Done():
		return nil, &request.Refusal{Kind: request.Busy, Words: "Another change of settings is under way. Ask again in a moment."}
	}
	now := d.book.Load()
	var err error
	kind := request.Impossible
	switch r := t.request.(type) {
	case request.Settings:
		t.next, err = now.changed(t.by, r)
	case request.Undo:
		kind = request.Outdated
		t.next, err = now.undone(r.Number)
	}
	if err != nil {
		return nil, &request.Refusal{Kind: kind, Words: sentence(err.Error())}
	}
	return d.hand(ctx, t)
}

// take gives the requests that lie there, those that were not withdrawn.
func (d *Desk) take() (taken []*ticket) {
	for range deskPlaces {
		select {
		case t := <-d.tickets:
			if t.state.CompareAndSwap(ticketWaits, ticketTaken) {
				taken = append(taken, t)
			}
		default:
			return taken
		}
	}
	return taken
}

// settle tells who asked what came of it.
func (t *ticket) settle(done *tick.Tick) {
	if t.refused != nil {
		t.answer <- answered{err: &request.Refusal{Kind: request.Impossible, Words: t.words}}
		return
	}
	t.answer <- answered{answer: &request.Answer{Words: t.words, Tick: done, Change: t.change}}
}

// record is what the tick keeps of it.
func (t *ticket) record() tick.Asked {
	return tick.Asked{By: t.by, Words: t.words, Refused: t.refused != nil}
}

// sentence begins with a capital, but for the name of a setting, and ends with a
// full stop.
func sentence(words string) string {
	first, _, _ := strings.Cut(words, " ")
	if first == "" || strings.Contains(first, "_") {
		return strings.TrimSuffix(words, ".") + "."
	}
	return strings.ToUpper(words[:1]) + strings.TrimSuffix(words[1:], ".") + "."
}
