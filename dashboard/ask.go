package dashboard

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"sunstoker/control"
	"sunstoker/dashboard/door"
	"sunstoker/station/request"
)

// askTimeout is how long, in real time, a request waits for the tick that takes
// it: several ticks of a house in real time.
const askTimeout = 5 * time.Second

// Done is the answer to a request that the controller has taken. Of outputs it
// gives what became of those that the request is about, in the tick that has
// taken it: whoever is outranked reads there by what, and why.
type Done struct {
	Words       string         `json:"words"`        // what was done, for people
	SecondsLeft *float64       `json:"seconds_left"` // until it ends by itself; null when it does not
	Until       *time.Time     `json:"until"`        // the same as civil time of the house; null also when the clock is not set
	Outputs     []SystemOutput `json:"outputs"`
	Change      *ChangeShown   `json:"change"` // of settings, that was made; null when none was
}

// SystemOutput is an output with the system it belongs to.
type SystemOutput struct {
	System string `json:"system"`
	Output
}

func (d *Dashboard) putBoost(w http.ResponseWriter, r *http.Request) {
	d.withSystem(w, r, func(system int) (request.Request, error) {
		length, err := lengthIn(r, "2 h")
		return request.Boost{System: system, Length: length}, err
	})
}

func (d *Dashboard) endBoost(w http.ResponseWriter, r *http.Request) {
	d.withSystem(w, r, func(system int) (request.Request, error) { return request.Boost{System: system}, nil })
}

func (d *Dashboard) putHoliday(w http.ResponseWriter, r *http.Request) {
	length, err := lengthIn(r, "14 d")
	if err != nil {
		refuseUnread(w, r, err)
		return
	}
	d.ask(w, r, request.Holiday{Length: length})
}

func (d *Dashboard) endHoliday(w http.ResponseWriter, r *http.Request) {
	d.ask(w, r, request.Holiday{})
}

func (d *Dashboard) putOverride(w http.ResponseWriter, r *http.Request) {
	d.withOutput(w, r, func(output int) (request.Request, error) {
		got, err := readFields(r)
		if err != nil {
			return nil, err
		}
		level, levelErr := levelOf(got)
		length, lengthErr := lengthOf(got, "1 h")
		err = errors.Join(got.only("level", "length"), levelErr, lengthErr)
		return request.Override{Output: output, Level: level, Length: length}, err
	})
}

func (d *Dashboard) endOverride(w http.ResponseWriter, r *http.Request) {
	d.withOutput(w, r, func(output int) (request.Request, error) { return request.Override{Output: output}, nil })
}

func (d *Dashboard) putServicing(w http.ResponseWriter, r *http.Request) {
	got, err := readFields(r)
	if err != nil {
		refuseUnread(w, r, err)
		return
	}
	on, err := got.flag("on")
	if err = errors.Join(got.only("on"), err); err != nil {
		refuseUnread(w, r, err)
		return
	}
	d.ask(w, r, request.Servicing{On: on})
}

// withSystem finds the system that the path names and asks for what make makes
// of the body.
func (d *Dashboard) withSystem(w http.ResponseWriter, r *http.Request, make func(system int) (request.Request, error)) {
	plan := d.plan()
	if plan == nil {
		refuseEarly(w, r)
		return
	}
	name := r.PathValue("system")
	for i := range plan.Systems {
		if plan.Systems[i].Name == name {
			q, err := make(i)
			if err != nil {
				refuseUnread(w, r, err)
				return
			}
			d.ask(w, r, q)
			return
		}
	}
	Refuse(w, r, http.StatusNotFound, fmt.Sprintf("There is no system %q in this house. /api/now lists the systems.", shortened(name)))
}

// withOutput is withSystem for an output of it.
func (d *Dashboard) withOutput(w http.ResponseWriter, r *http.Request, make func(output int) (request.Request, error)) {
	d.withSystem(w, r, func(system int) (request.Request, error) {
		name := r.PathValue("actuator")
		for i, o := range d.plan().Outputs {
			if o.System == system && o.Actuator.String() == name {
				return make(i)
			}
		}
		return nil, &badRequest{http.StatusNotFound, fmt.Sprintf("The system %q has no output %q. /api/now lists the outputs.", shortened(r.PathValue("system")), shortened(name))}
	})
}

// plan is that of the newest tick; nil before the first.
func (d *Dashboard) plan() *control.Plan {
	if t := d.newest.Load().tick; t != nil {
		return t.House.Plan
	}
	return nil
}

// lengthIn reads a body that holds a length and nothing else.
func lengthIn(r *http.Request, such string) (time.Duration, error) {
	got, err := readFields(r)
	if err != nil {
		return 0, err
	}
	length, err := lengthOf(got, such)
	return length, errors.Join(got.only("length"), err)
}

// lengthOf reads how long something is to last. The controller knows how long it
// may; here it must fit into a duration.
func lengthOf(got fields, such string) (time.Duration, error) {
	text, err := got.text("length", such)
	if err != nil {
		return 0, err
	}
	s, err := control.Second.Parse(text)
	switch {
	case err != nil:
		return 0, malformed("%q: %v.", "length", shortError(err))
	case s < 1:
		return 0, malformed("%q: %s is too short: ask for 1 s or more. To end it, send DELETE, or by a message the word end.", "length", shortened(text))
	case s > 1e9:
		return 0, malformed("%q: %s is too long.", "length", shortened(text))
	}
	return time.Duration(s * float64(time.Second)), nil
}

// levelOf reads the level to which an output is to be set.
func levelOf(got fields) (float64, error) {
	text, err := got.text("level", "on")
	if err != nil {
		return 0, err
	}
	switch text {
	case "on":
		return 1, nil
	case "off":
		return 0, nil
	}
	percent, err := control.Percent.Parse(text)
	if err != nil || percent < 0 || percent > 100 {
		return 0, malformed(`"level": %q is no level: write "on", "off", or a share from "0 %%" to "100 %%".`, shortened(text))
	}
	return percent / 100, nil
}

func shortError(err error) string { return shortened(err.Error()) }

// ask hands a request to the controller and answers with what came of it.
func (d *Dashboard) ask(w http.ResponseWriter, r *http.Request, q request.Request) {
	if d.desk == nil {
		Refuse(w, r, http.StatusServiceUnavailable, "This program shows a house and has no controller that could be asked.")
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), askTimeout)
	defer cancel()
	a, err := d.desk.Ask(ctx, askerOf(r), q)
	if err != nil {
		refuseRequest(w, r, err)
		return
	}
	answer(w, r, doneOf(q, a))
}

// askerOf says who asks, and as what, for the record.
func askerOf(r *http.Request) string {
	p := door.PersonOf(r)
	return p.Name + ", who may " + p.Role.String()
}

func refuseRequest(w http.ResponseWriter, r *http.Request, err error) {
	status := http.StatusInternalServerError
	if refusal, is := errors.AsType[*request.Refusal](err); is {
		switch refusal.Kind {
		case request.Impossible:
			status = http.StatusUnprocessableEntity
		case request.Outdated:
			status = http.StatusConflict
		case request.Busy:
			status = http.StatusServiceUnavailable
			w.Header().Set("Retry-After", "2")
		}
	}
	Refuse(w, r, status, err.Error())
}

// refuseUnread refuses what is not written as it should be; of several faults it
// tells the first.
func refuseUnread(w http.ResponseWriter, r *http.Request, err error) {
	if bad, is := errors.AsType[*badRequest](err); is {
		Refuse(w, r, bad.status, bad.words)
		return
	}
	Refuse(w, r, http.StatusBadRequest, err.Error())
}

func refuseEarly(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Retry-After", "1")
	Refuse(w, r, http.StatusServiceUnavailable, "No tick yet: the controller has just been started. Ask again in a second.")
}

// doneOf tells what came of a request: until when it counts, and what the
// outputs that it is about make of it.
func doneOf(q request.Request, a *request.Answer) Done {
	t := a.Tick
	done := Done{Words: a.Words, Outputs: []SystemOutput{}}
	var left time.Duration
	about := func(control.Output, int) bool { return true }
	switch q := q.(type) {
	case request.Boost:
		left = t.Systems[q.System].BoostLeft
		about = func(o control.Output, _ int) bool { return o.System == q.System && o.Actuator == control.BackupHeater }
	case request.Override:
		left = t.Outputs[q.Output].Override.Left
		about = func(_ control.Output, i int) bool { return i == q.Output }
	case request.Holiday:
		left = t.HolidayLeft
	}
	if left > 0 {
		seconds := left.Seconds()
		done.SecondsLeft = &seconds
		if t.Wall.Trusted {
			until := t.Wall.Time.Add(left).In(zoneOf(t.House.Plan)).Round(time.Second)
			done.Until = &until
		}
	}
	for i, o := range t.House.Plan.Outputs {
		if about(o, i) {
			done.Outputs = append(done.Outputs, SystemOutput{systemName(t.House.Plan, o.System), outputOf(o, &t.Outputs[i])})
		}
	}
	if a.Change != nil {
		change := changeOf(a.Change, zoneOf(t.House.Plan))
		done.Change = &change
	}
	return done
}

// numberOf reads the number of a change in the path.
func numberOf(r *http.Request) (int, error) {
	text := r.PathValue("number")
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return 0, &badRequest{http.StatusNotFound, fmt.Sprintf("There is no change of settings %q. /api/changes lists them.", shortened(text))}
	}
	return n, nil
}
