package control

import "time"

// maxVotes bounds the votes on one output in one step. Each rule casts at
// most one, so the number of rules bounds it too; a test keeps that true.
const maxVotes = 12

// ballot collects one output's votes of one step. A rule that wants nothing
// casts no vote, but may say why: idle is the reason that is shown when nobody
// asks for the output.
type ballot struct {
	n     int
	idle  Vote // off, at the weakest rank; only its reason changes
	votes [maxVotes]Vote
}

func (b *ballot) clear() {
	b.n = 0
	b.rest(SaysNobodyAsks, 0, 0, 0)
}

// rest says why nothing is wanted, with figures or 0. Unlike because it needs
// no list of them: it is what most rules say in most steps.
func (b *ballot) rest(says Words, first, second, third float64) {
	r := &b.idle.Reason
	r.Words = says
	r.Values[0], r.Values[1], r.Values[2] = first, second, third
}

func (b *ballot) cast(level float64, rank Rank, why Reason) {
	if b.n == maxVotes {
		b.n-- // cannot happen while the rules are fewer; a lost vote is the lesser harm
	}
	v := &b.votes[b.n]
	v.Level, v.Rank, v.Reason = level, rank, why
	b.n++
}

// byHand tells whether a person has set the output.
func (b *ballot) byHand() bool { return b.n > 0 && b.votes[0].Rank == Person }

// onByHand tells whether a person has switched the output on.
func (b *ballot) onByHand() bool { return b.byHand() && b.votes[0].Level > 0 }

// winner gives the strongest vote; at equal rank the lower level, which is the
// safer one for every actuator there is. Without a vote the output is idle.
func (b *ballot) winner() *Vote {
	if b.n == 0 {
		return &b.idle
	}
	best := &b.votes[0]
	for i := 1; i < b.n; i++ {
		v := &b.votes[i]
		if v.Rank > best.Rank || v.Rank == best.Rank && v.Level < best.Level {
			best = v
		}
	}
	return best
}

// decide turns the votes on one output into its decision and keeps the
// output's memory.
func (b *ballot) decide(d *Decision, mem *OutputState, lim *outputLimits) {
	w := b.winner()
	d.Votes = b.votes[:b.n]
	d.Rank, d.Reason = w.Rank, w.Reason
	d.Held, d.Urgent = 0, false
	level := lim.level(w.Level)
	minRun, minRest := lim.minRun, lim.minRest
	if wasOn, on := mem.Level > 0, level > 0; wasOn != on {
		left := held(w, mem, minRun, minRest)
		if left > 0 {
			d.Held = left
			level = mem.Level
			d.Reason = holdReason(wasOn, left)
		} else {
			d.Urgent = wasOn && mem.InState < minRun || !wasOn && mem.InState < minRest
			mem.InState = 0
			mem.Switchings++
			mem.Protecting = on && w.Rank == Protect
		}
	}
	mem.Level, d.Level, d.Would = level, level, level
}

// observe only says what would be done with one output, and leaves it off.
func (b *ballot) observe(d *Decision, lim *outputLimits) {
	w := b.winner()
	*d = Decision{Would: lim.level(w.Level), Rank: w.Rank, Reason: w.Reason, Votes: b.votes[:b.n]}
}

// outputLimits are what an output can do.
type outputLimits struct {
	minRun, minRest time.Duration
	leastLevel      float64 // lowest level above 0; 0: only on or off
}

// level is the level nearest to a wish that the output can be driven at.
func (l *outputLimits) level(wish float64) float64 {
	switch {
	case wish <= 0:
		return 0
	case l.leastLevel == 0:
		return 1
	}
	return max(wish, l.leastLevel)
}

// protectRest is the most that a protection waits to switch an output on
// again, so that a doubt that comes and goes does not wear the relay.
const protectRest = 2 * time.Minute

// held tells how long a minimum time still keeps an output from following the
// winning vote. It never keeps on what a protection or a person switches off,
// nor what only a protection has switched on.
func held(w *Vote, mem *OutputState, minRun, minRest time.Duration) time.Duration {
	switch {
	case mem.Level == 0 && w.Rank == Protect:
		return min(minRest, protectRest) - mem.InState
	case mem.Level == 0:
		return minRest - mem.InState
	case w.Rank >= Person || mem.Protecting:
		return 0
	}
	return minRun - mem.InState
}

func holdReason(wasOn bool, left time.Duration) Reason {
	if wasOn {
		return because(SaysMinimumRun, seconds(left))
	}
	return because(SaysMinimumRest, seconds(left))
}
