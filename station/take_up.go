package station

import (
	"time"

	"sunstoker/control"
)

// A start has failed when the controller panicked within trialTime of it, or
// when the program ended, for whatever reason, before its first tick was done.
// Where mostFailedStarts in a row were made with one state, the state is to
// blame and the next start does without it. The count lies in the state file
// itself: it is raised before the first tick and taken back after it.
const (
	trialTime        = 10 * time.Minute
	mostFailedStarts = 2
)

// graceForMark is how long, in real time, a start waits for the storage to
// take the raised count. A card that hangs must not keep the plant waiting.
const graceForMark = 5 * time.Second

// lossToldFor is for how long a lost memory is shown as a finding.
const lossToldFor = 72 * time.Hour

// takeUp restores what an earlier run left.
func (s *Station) takeUp(store *stateStore) {
	body, lost := store.load(s.restore)
	if body != nil {
		s.takeUpSettings(&body.Settings)
	}
	s.ctl.Restarted()
	switch {
	case body != nil:
		s.tried = body
		s.trustedWall, s.trustedAt = body.Trusted, -body.SinceTrusted
		if !body.Trusted.IsZero() {
			s.clock.Seen(body.Trusted)
		}
	case lost != nil:
		s.memoryLost = lost.Error()
		s.ctl.MemoryLost()
	}
}

// restore tries a state on a controller of its own, since a panic in the middle
// would leave it half restored.
func (s *Station) restore(b *stateBody) error {
	ctl, err := control.New(*s.house.Plan)
	if err != nil {
		return err
	}
	err = protected("taking up the state", func() error { return ctl.RestoreState(b.Controller) })
	if err == nil {
		s.ctl = ctl
	}
	return err
}

// takeUpSettings lets the settings count that people have changed. The file's own
// count where that can't be done: a start must not fail on them.
func (s *Station) takeUpSettings(saved *savedBook) {
	err := protected("taking up changed settings", func() error {
		b, left := takeUpBook(s.desk.book.Load().file, saved)
		for _, what := range left {
			s.log.Warn("a change of settings counts no longer", "why", what)
		}
		return s.follow(b)
	})
	if err != nil {
		s.log.Error("the changed settings could not be taken up; those of the site file count", "error", err)
	}
}

// markStart counts this start as failed, until its first tick takes that back.
func (s *Station) markStart() {
	if s.tried == nil {
		return
	}
	timer := time.NewTimer(graceForMark)
	defer timer.Stop()
	select {
	case <-s.saver.offer(s.tried.failedOnce()):
	case <-timer.C:
		s.log.Warn("the start could not be marked on the disk in time; it goes on without")
	}
}

// blame counts the start as failed, since a panic of the controller ends it.
func (s *Station) blame() {
	if s.tried != nil && s.last < trialTime {
		s.saver.offer(s.tried.failedOnce())
	}
}

// knowTime keeps the newest wall time that was trusted. The first one of a run
// tells how long no program had run, if an earlier run has trusted one too.
func (s *Station) knowTime(now time.Duration, wall control.Wall) {
	if !wall.Trusted {
		return
	}
	if !s.absenceTold && !s.trustedWall.IsZero() {
		away := wall.Time.Sub(s.trustedWall) - (now - s.trustedAt)
		if away < -jumpLimit {
			s.log.Warn("the clock stands before the last one that was trusted, so nobody knows how long the station was away", "clock", wall.Time, "last", s.trustedWall)
		} else {
			s.log.Info("the station was away", "for", max(0, away))
			s.ctl.WasAway(away)
		}
	}
	s.absenceTold = true
	s.trustedWall, s.trustedAt = wall.Time.UTC().Round(0), now
}

// remember hands the state to the saver when it is worth it: soon when a person
// has asked for something.
func (s *Station) remember(now time.Duration, asked bool) {
	s.saves.asked = s.saves.asked || asked
	if !s.saves.due(now) {
		return
	}
	failing, _ := s.saver.trouble()
	if body := s.body(now); body != nil && s.saves.wants(now, body.Controller, failing != "") {
		s.saver.offer(body)
	}
}

// offerState hands the state to the saver whether it is worth it or not.
func (s *Station) offerState() {
	if body := s.body(s.last); body != nil {
		s.saver.offer(body)
	}
}

// body is the state as of now, nil when it can't be had.
func (s *Station) body(now time.Duration) *stateBody {
	s.deciding = true
	controller, err := s.ctl.SaveState()
	s.deciding = false
	if err != nil {
		s.saver.note(err)
		return nil
	}
	book := s.desk.book.Load()
	b := &stateBody{Trusted: s.trustedWall, Controller: controller, Settings: savedBook{book.last, book.changes}}
	if !s.trustedWall.IsZero() {
		b.SinceTrusted = now - s.trustedAt
	}
	if s.tried != nil && now < trialTime {
		b.FailedStarts = s.tried.FailedStarts
	}
	return b
}
