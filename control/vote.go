package control

import "time"

// Rank orders votes: the strongest rank wins.
type Rank uint8

// The ranks, weakest first.
const (
	Upkeep  Rank = iota // keep parts moving; also of an output that nobody asks for
	Economy             // less electricity
	Comfort             // hot water
	Hygiene             // against Legionella
	Person              // a person's override
	Protect             // people and plant
)

var rankWords = [...]string{"upkeep", "economy", "comfort", "hygiene", "a person's override", "protection"}

// String is the rank in words.
func (r Rank) String() string {
	if int(r) < len(rankWords) {
		return rankWords[r]
	}
	return "unknown rank"
}

// Vote is what one rule wants of one output.
type Vote struct {
	Level  float64 // 0 off to 1 full
	Rank   Rank
	Reason Reason
}

// Decision is what shall be done with one output.
type Decision struct {
	Level  float64       // 0 off to 1 full
	Would  float64       // level it would have, were the plan not only to observe; else the same
	Urgent bool          // it changes now, before its minimum time is over
	Rank   Rank          // of the winning vote
	Reason Reason        // why, or why it is held
	Held   time.Duration // how long a minimum time will still keep it from following the winning vote; 0 when it follows
	Votes  []Vote        // all votes, in the order of the rules; valid until the next Step
}

// On tells whether the output runs at all.
func (d *Decision) On() bool { return d.Level > 0 }
