package station

import (
	"context"
	"strings"
	"time"

	"github.com/coreos/go-systemd/v22/daemon"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// Period is the time from tick to tick.
const Period = time.Second

// keepTick turns once a period until the context ends. A tick that comes too
// late is not made up for: the next one is due at its own instant.
func (s *Station) keepTick(ctx context.Context) {
	defer s.member.Leave()
	due := s.member.Now()
	for s.member.Wait(ctx, due) == nil {
		now := s.member.Now()
		s.turn(now, due)
		if s.number == 1 {
			s.manager.tell(daemon.SdNotifyReady)
		}
		s.manager.finished(now)
		due = dueAfter(due, now)
	}
}

// dueAfter gives the first instant of the row that due belongs to which lies
// after now.
func dueAfter(due, now time.Duration) time.Duration {
	return due + Period*(1+max(0, now-due)/Period)
}

// turn is one tick.
func (s *Station) turn(now, due time.Duration) {
	elapsed := now - s.last
	if s.number == 0 {
		elapsed = 0
	}
	s.number++
	s.last = now
	s.drive.instant.Store(int64(now))

	wall := s.clock.Wall()
	s.read(now)
	s.drive.readBack()
	board := s.board(now)
	s.deciding = true
	s.knowTime(now, wall)
	asked := s.serveDesk(wall)
	s.ctl.Tell(board)
	s.foretold = s.light.pass(s.ctl, s.foretold)
	out := s.ctl.Step(elapsed, wall, s.readings)
	s.deciding = false
	for i := range out.Decisions {
		s.drive.set(i, &out.Decisions[i])
	}

	t := s.record(out)
	s.tellUntested(t)
	t.At, t.Wall, t.Late, t.Took = now, wall, max(0, now-due), s.clock.Now()-now
	for _, ticket := range asked {
		t.Asked = append(t.Asked, ticket.record())
	}
	for _, box := range s.boxes {
		box.post(t)
	}
	for _, ticket := range asked {
		ticket.settle(t)
	}
	s.journal.write(t)
	s.manager.show(status(t))
	s.remember(now, len(asked) > 0)
}

// read takes the newest sample of every probe. A sample may be younger than
// the tick, since buses are read meanwhile; its age is then 0.
func (s *Station) read(now time.Duration) {
	for i, probe := range s.ports.Probes {
		sample := probe.Latest()
		r := &s.readings[i]
		*r = control.Reading{Value: sample.Value, Age: max(0, now-sample.Taken)}
		if sample.Fault != nil {
			r.Value, r.Fault = 0, sample.Fault.Error()
		}
		s.raw[i] = sample.Raw
	}
}

// stranger is a bus that tells of probes on it which nobody asked for.
type stranger interface{ Strangers() []string }

// board is what the station knows of itself: faults of outputs as of this
// tick's read-back and of the tick before.
func (s *Station) board(now time.Duration) control.Board {
	b := control.Board{OutputFaults: s.faults, ProbeNotes: s.notes}
	s.health.addTo(&b)
	for i := range s.faults {
		s.faults[i] = s.drive.fault(i)
	}
	for _, bus := range s.ports.Buses {
		if since, what, stuck := bus.Stuck(); stuck && now-since > b.StuckFor {
			b.StuckBus, b.StuckFor = bus.Name()+": "+what, now-since
		}
		if host, ok := bus.Bus.(stranger); ok {
			if found := host.Strangers(); len(found) > 0 {
				b.Stranger = strings.Join(found, ", ")
			}
		}
	}
	b.Unsaved, b.UnsavedFor = s.saver.trouble()
	if s.unwritten != nil {
		b.Unwritten = s.unwritten()
	}
	if now < lossToldFor {
		b.MemoryLost = s.memoryLost
	}
	return b
}

// record makes the tick that watchers keep: nothing in it is shared with the
// controller, whose outcome ends with the next step.
func (s *Station) record(out *control.Outcome) *tick.Tick {
	t := &tick.Tick{
		House: s.house, Number: s.number, Service: s.ctl.Service(),
		Readings: make([]tick.Reading, len(out.Readings)),
		Outputs:  make([]tick.Output, len(out.Decisions)),
		Findings: append([]control.Finding(nil), out.Findings...),

		HolidayLeft: s.ctl.HolidayLeft(), Servicing: s.ctl.Servicing(), ForecastTrouble: s.light.trouble(),
	}
	for i := range out.Readings {
		t.Readings[i] = tick.Reading{Judged: out.Readings[i], Kind: s.ports.Probes[i].Kind, Raw: s.raw[i]}
	}
	for i := range s.house.Plan.Systems {
		system := tick.System{
			Energy: s.ctl.EnergyOf(i), CountsHeat: s.ctl.CountsHeat(i), CountsCirculation: s.ctl.CountsCirculation(i), HotLitres: -1,
			BoostLeft: s.ctl.BoostLeft(i), HygieneSince: s.ctl.HygieneSince(i),
		}
		if litres, known := s.ctl.HotLitres(i); known {
			system.HotLitres = litres
		}
		if outlook, known := s.ctl.OutlookOf(i); known {
			system.Outlook = &outlook
		}
		t.Systems = append(t.Systems, system)
	}
	for i := range out.Decisions {
		memory := s.ctl.Output(i)
		o := tick.Output{
			Decision: out.Decisions[i], Driven: s.drive.outputs[i].Level(), Fault: s.drive.fault(i),
			Switchings: memory.Switchings, Refused: s.drive.outputs[i].Count().Refusals, On: memory.On, Override: s.ctl.OverrideOf(i),
		}
		o.Votes = append([]control.Vote(nil), o.Votes...)
		t.Outputs[i] = o
	}
	return t
}
