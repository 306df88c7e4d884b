package control

import (
	"testing"
	"time"
)

// TestWhoNeedNotWait: how long a minimum time holds an output, and whether it is
// changed before that is over, by who asks, at the border and beside it.
func TestWhoNeedNotWait(t *testing.T) {
	const run, rest = time.Minute, 5 * time.Minute
	for _, c := range []struct {
		name       string
		was        float64
		protecting bool
		inState    time.Duration
		vote       Vote
		level      float64
		held       time.Duration
		urgent     bool
	}{
		{"comfort on, rested", 0, false, rest, Vote{Level: 1, Rank: Comfort}, 1, 0, false},
		{"comfort on, a second short", 0, false, rest - time.Second, Vote{Level: 1, Rank: Comfort}, 0, time.Second, false},
		{"a person's on does not wait less", 0, false, rest - time.Second, Vote{Level: 1, Rank: Person}, 0, time.Second, false},
		{"protection on after its own rest", 0, false, protectRest, Vote{Level: 1, Rank: Protect}, 1, 0, true},
		{"protection on, a second short", 0, false, protectRest - time.Second, Vote{Level: 1, Rank: Protect}, 0, time.Second, false},
		{"protection on after all the rest", 0, false, rest, Vote{Level: 1, Rank: Protect}, 1, 0, false},
		{"comfort off, run to the end", 1, false, run, Vote{Rank: Comfort}, 0, 0, false},
		{"comfort off, a second short", 1, false, run - time.Second, Vote{Rank: Comfort}, 1, time.Second, false},
		{"a person's off", 1, false, run - time.Second, Vote{Rank: Person}, 0, 0, true},
		{"protection off", 1, false, run - time.Second, Vote{Rank: Protect}, 0, 0, true},
		{"protection off, run to the end", 1, false, run, Vote{Rank: Protect}, 0, 0, false},
		{"what a protection has switched on", 1, true, run - time.Second, Vote{Rank: Comfort}, 0, 0, true},
		{"on, and stays on", 1, false, 0, Vote{Level: 0.6, Rank: Comfort}, 0.6, 0, false},
		{"off, and stays off", 0, false, 0, Vote{Rank: Protect}, 0, 0, false},
	} {
		var b ballot
		b.clear()
		b.cast(c.vote.Level, c.vote.Rank, Reason{})
		mem := OutputState{Level: c.was, Protecting: c.protecting, InState: c.inState}
		var d Decision
		b.decide(&d, &mem, &outputLimits{run, rest, 0.3})
		if d.Level != c.level || d.Held != c.held || d.Urgent != c.urgent || mem.Level != c.level || d.Would != c.level {
			t.Errorf("%s: level %g, held %v, urgent %v, want %g, %v, %v", c.name, d.Level, d.Held, d.Urgent, c.level, c.held, c.urgent)
		}
		changed := (c.was > 0) != (c.level > 0)
		if (mem.Switchings == 1) != changed || changed != (mem.InState == 0 && c.inState > 0) {
			t.Errorf("%s: %d switchings, in this state for %v", c.name, mem.Switchings, mem.InState)
		}
		if changed && mem.Protecting != (c.level > 0 && c.vote.Rank == Protect) {
			t.Errorf("%s: protecting %v", c.name, mem.Protecting)
		}
	}
}

// TestStrongestVoteWins: by rank, at equal rank the lower level; without a vote
// the output idles.
func TestStrongestVoteWins(t *testing.T) {
	for _, c := range []struct {
		votes []Vote
		level float64
		rank  Rank
	}{
		{nil, 0, Upkeep},
		{[]Vote{{Level: 1, Rank: Upkeep}}, 1, Upkeep},
		{[]Vote{{Level: 1, Rank: Comfort}, {Level: 0.5, Rank: Comfort}}, 0.5, Comfort},
		{[]Vote{{Level: 0.5, Rank: Comfort}, {Level: 1, Rank: Comfort}}, 0.5, Comfort},
		{[]Vote{{Level: 0, Rank: Economy}, {Level: 1, Rank: Comfort}}, 1, Comfort},
		{[]Vote{{Level: 1, Rank: Comfort}, {Level: 0, Rank: Economy}}, 1, Comfort},
		{[]Vote{{Level: 1, Rank: Person}, {Level: 1, Rank: Comfort}, {Level: 0, Rank: Protect}}, 0, Protect},
	} {
		var b ballot
		b.clear()
		for _, v := range c.votes {
			b.cast(v.Level, v.Rank, Reason{})
		}
		if w := b.winner(); w.Level != c.level || w.Rank != c.rank {
			t.Errorf("%v: level %g, %s", c.votes, w.Level, w.Rank)
		}
	}
	var b ballot
	b.clear()
	for range maxVotes {
		b.cast(1, Comfort, Reason{})
	}
	b.cast(0, Protect, Reason{}) // one too many takes the place of the last, and is not lost
	if b.n != maxVotes || b.winner().Rank != Protect {
		t.Errorf("%d votes, %s wins", b.n, b.winner().Rank)
	}
}
