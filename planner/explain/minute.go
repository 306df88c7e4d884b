package explain

import (
	"context"
	"fmt"
	"io"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/planner/paper"
	"sunstoker/site"
)

// Minute tells of one instant of a site's history: what was measured, what ran
// and why, and what was found. Where the history has nothing it says what there
// is.
func Minute(ctx context.Context, r *history.Reader, s *site.Site, at time.Time, to io.Writer) error {
	m := minute{ctx: ctx, r: r, site: s, at: at.In(s.Zone), clock: clock{zone: s.Zone, near: at}}
	if err := m.tell(); err != nil {
		return err
	}
	return m.Write(to)
}

// Newest is the newest minute of a history, as a time for [Minute].
func Newest(ctx context.Context, r *history.Reader) (time.Time, error) {
	at, err := r.Newest(ctx)
	if err == nil && at.IsZero() {
		err = fmt.Errorf("the history holds no minute yet: it is written some minutes after the first start of the program")
	}
	return at, err
}

type minute struct {
	paper.Sheet
	clock clock
	ctx   context.Context
	r     *history.Reader
	site  *site.Site
	at    time.Time

	moment   *history.Moment
	standing *history.Standing
	changes  []history.Event // decisions within the span of the moment and in the day after it
}

func (m *minute) tell() (err error) {
	m.Say(0, "%s, %s (%s, %s)", m.site.Name, m.at.Format("Monday 2 January 2006, 15:04"), m.site.TimeZone, offset(m.at))
	if which := turn(m.at); which != "" {
		m.Say(0, "It is %s.", which)
	}
	if m.moment, err = m.r.Moment(m.ctx, m.at); err != nil {
		return err
	}
	if m.moment == nil {
		return m.nothing()
	}
	if err := m.readEvents(); err != nil {
		return err
	}
	m.span()
	for _, system := range m.systems() {
		m.readings(system)
		m.outputs(system)
	}
	m.readings("")
	m.findings()
	m.Heading("What is not kept")
	m.Say(2, "Figures in a reason are those of the moment in which it was decided. The votes that lost are not kept: the history has the winner of every output and its reason. Those of the present moment stand on the page. A new reason with the same result, less than 30 s after the one before, is not kept either; nor are a probe's own words, unless a finding tells them.")
	return nil
}

// endsAt tells the end of a history.
const endsAt = "The history ends at %s; what happens is written once in ten minutes."

// nothing says that there is no row, and what there is instead.
func (m *minute) nothing() error {
	before, after, err := m.r.Beside(m.ctx, m.at)
	if err != nil {
		return err
	}
	m.Heading("Nothing was watched then")
	switch {
	case before.IsZero() && after.IsZero():
		m.Say(2, "The history is empty: it is written some minutes after the first start of the program.")
	case before.IsZero():
		m.Say(2, "The history begins at %s.", m.clock.inWords(after))
	case after.IsZero():
		m.Say(2, endsAt, m.clock.inWords(before))
	default:
		m.Say(2, "There is a gap from %s to %s: the program did not run, or could not write.", m.clock.inWords(before), m.clock.inWords(after))
	}
	return nil
}

// lookAhead is how far the end of what stood is looked for.
const lookAhead = 24 * time.Hour

func (m *minute) readEvents() (err error) {
	if m.standing, err = m.r.Standing(m.ctx, m.moment.Start); err != nil {
		return err
	}
	return m.r.Events(m.ctx, history.WantedEvents{
		From: m.moment.Start.Add(time.Second), To: m.end().Add(lookAhead),
		Kinds: []history.Kind{history.Decided, history.Raised, history.Cleared, history.Started, history.Stopped},
	}, func(e *history.Event) error {
		m.changes = append(m.changes, *e)
		return nil
	})
}

func (m *minute) end() time.Time { return m.moment.Start.Add(m.moment.Span) }

// span says what is told of, where that is no whole minute of a sure clock.
func (m *minute) span() {
	if m.moment.Span > time.Minute {
		m.Say(0, "Single minutes of that time are no longer kept. What was measured is that of %s to %s; decisions are kept longer and are those of that time.", m.clock.inWords(m.moment.Start), m.clock.inWords(m.end()))
	}
	if short := m.moment.Span - m.moment.Watched; short > time.Second {
		m.Say(0, "The program ran for %s of it.", control.Fill("{0 time}", [3]float64{m.moment.Watched.Seconds()}))
	}
	if !m.moment.Sure {
		m.Say(0, "Nobody could vouch for the board's clock then: the time may be wrong.")
	}
}

// systems are the names of systems in the moment, in its order.
func (m *minute) systems() (names []string) {
	known := map[string]bool{"": true}
	for i := range m.moment.Figures {
		if name := m.moment.Figures[i].System; !known[name] {
			known[name] = true
			names = append(names, name)
		}
	}
	return names
}

// column is where what is said of a name begins.
const column = 24

func (m *minute) readings(system string) {
	first := true
	for i := range m.moment.Figures {
		f := &m.moment.Figures[i]
		if f.System != system || isOutput(f.Name) {
			continue
		}
		if first {
			m.Heading("%s: measured", ownerWords(system))
			first = false
		}
		switch {
		case f.Sum && f.Amount > 0:
			m.Row(bookName(f.Name), 42, "%.0f W in the mean", f.Amount/m.moment.Watched.Seconds())
		case f.Sum:
		case f.Name == "hot_water" && f.Known > 0:
			m.Row("hot water", column, "%.0f l still to be had at the tap temperature", f.Mean)
		case f.Known == 0:
			m.Row(PartWords(f.Name), column, "no good value")
		default:
			m.Row(PartWords(f.Name), column, "%s", m.figure(f))
		}
	}
}

// figure is a reading's mean, with its lowest and highest value where they differ.
func (m *minute) figure(f *history.Figure) string {
	text := measured(f.Mean, f.Unit)
	if low, high := measured(f.Low, f.Unit), measured(f.High, f.Unit); low != high {
		text += fmt.Sprintf(", from %s to %s", low, high)
	}
	if missed := m.moment.Watched - f.Known; missed > time.Second {
		text += ", with no good value for " + control.Fill("{0 time}", [3]float64{missed.Seconds()})
	}
	return text
}

func ownerWords(system string) string {
	if system == "" {
		return "The house"
	}
	return system
}

func (m *minute) outputs(system string) {
	first := true
	for i := range m.standing.Decisions {
		e := &m.standing.Decisions[i]
		if e.System != system {
			continue
		}
		if first {
			m.Heading("%s: what ran, and why", system)
			first = false
		}
		m.output(e)
	}
}

// output tells of one output: what stood, what it came to, and what came after.
func (m *minute) output(e *history.Event) {
	m.Row(PartWords(e.Part), column, "%s, as decided at %s:", StateWords(e.Part, e.Level), m.clock.inWords(e.Time))
	m.decision(e)
	if f := m.level(e); f != nil && f.Known > 0 && f.Low == f.High && f.Mean != e.Level && !m.changedWithin(e) {
		m.Say(column, "The line itself stood at %.0f %%.", 100*f.Mean)
	}
	for i := range m.standing.Overrides {
		if o := &m.standing.Overrides[i]; o.System == e.System && o.Part == e.Part {
			m.Say(column, "Set by hand to %s at %s.", StateWords(o.Part, o.Level), m.clock.inWords(o.Time))
		}
	}
	for i := range m.changes {
		next := &m.changes[i]
		switch {
		case next.Kind == history.Started || next.Kind == history.Stopped:
			m.Say(column, "The %s at %s.", next.Kind, m.clock.inWords(next.Time))
			return
		case next.Kind != history.Decided || next.System != e.System || next.Part != e.Part:
			continue
		case next.Time.Before(m.end()):
			m.Say(column, "At %s: %s.", m.clock.inWords(next.Time), StateWords(next.Part, next.Level))
			m.decision(next)
		default:
			m.Say(column, "Next decided anew at %s: %s.", m.clock.inWords(next.Time), StateWords(next.Part, next.Level))
			return
		}
	}
}

// decision says who won, with which reason.
func (m *minute) decision(e *history.Event) {
	m.Say(column, "%s won: %s.", paper.Capital(e.Rank), e.Text())
}

func (m *minute) level(e *history.Event) *history.Figure {
	for i := range m.moment.Figures {
		if f := &m.moment.Figures[i]; f.System == e.System && f.Name == e.Part {
			return f
		}
	}
	return nil
}

// changedWithin tells whether an output was decided on anew within the moment.
func (m *minute) changedWithin(of *history.Event) bool {
	for i := range m.changes {
		e := &m.changes[i]
		if e.Kind == history.Decided && e.System == of.System && e.Part == of.Part && e.Time.Before(m.end()) {
			return true
		}
	}
	return false
}

func (m *minute) findings() {
	m.Heading("What was found")
	if len(m.standing.Findings) == 0 {
		m.Say(2, "Nothing: no finding stood at the beginning.")
	}
	for i := range m.standing.Findings {
		m.finding(&m.standing.Findings[i])
	}
	for i := range m.changes {
		e := &m.changes[i]
		if !e.Time.Before(m.end()) {
			break
		}
		switch e.Kind {
		case history.Raised:
			m.finding(e)
		case history.Cleared:
			m.Say(2, "%s: cleared at %s", e.What.Words, m.clock.inWords(e.Time))
		}
	}
}

func (m *minute) finding(e *history.Event) {
	title := e.What.Words
	if about := where(e); about != "" {
		title += " (" + about + ")"
	}
	m.Say(2, "%s", title)
	since := "raised at"
	if e.Time.Sub(m.standing.Run) < time.Minute {
		since = "found already when the program started at"
	}
	m.Say(4, "%s %s: %s", since, m.clock.inWords(e.Time), e.Text())
	if e.Detail != "" {
		m.Say(4, "in its own words: %s", e.Detail)
	}
	if kind, known := kindNamed(e.What.Key); known {
		m.Say(4, "%s", urgencyWords(kind.Urgency()))
	}
	m.Command(4, "explain", m.site.File, e.What.Key)
}
