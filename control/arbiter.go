package control

import "time"

// maxVotes bounds the votes on one output in one step. Each rule casts at
// most one, so the number of rules bounds it too; a test keeps that true.
const maxVotes = 12

// ballot collects one output's votes of one step.
type ballot struct {
	votes [maxVotes]Vote
	n     int
}

func (b *ballot) cast(level float64, rank Rank, why Reason) {
	if b.n == maxVotes {
		b.n-- // cannot happen while the rules are fewer; a lost vote is the lesser harm
	}
	v := &b.votes[b.n]
	v.Level, v.Rank, v.Reason = level, rank, why
	b.n++
}

// winner gives the strongest vote; at equal rank the lower level, which is the
// safer one for every actuator there is.
func (b *ballot) winner() *Vote {
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
func (b *ballot) decide(d *Decision, mem *OutputState, minRun, minRest time.Duration) {
	w := b.winner()
	d.Votes = b.votes[:b.n]
	d.Rank, d.Reason = w.Rank, w.Reason
	d.Held, d.Urgent = 0, w.Rank == Protect
	level := w.Level
	if wasOn, on := mem.Level > 0, level > 0; wasOn != on {
		if left := held(wasOn, mem.InState, minRun, minRest); left > 0 && w.Rank < Protect {
			d.Held = left
			level = mem.Level
			d.Reason = holdReason(wasOn, left)
		} else {
			mem.InState = 0
			mem.Switchings++
		}
	}
	mem.Level, d.Level = level, level
}

func held(wasOn bool, inState, minRun, minRest time.Duration) time.Duration {
	if wasOn {
		return minRun - inState
	}
	return minRest - inState
}

func holdReason(wasOn bool, left time.Duration) Reason {
	if wasOn {
		return because(SaysMinimumRun, left.Seconds())
	}
	return because(SaysMinimumRest, left.Seconds())
}
