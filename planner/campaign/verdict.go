package campaign

import (
	"slices"
	"time"

	"sunstoker/control"
)

// Verdict says what came of a failure.
type Verdict uint8

// The verdicts, best first.
const (
	NotTried    Verdict = iota // the simulator has no physics for it
	NothingSeen                // no hazard, and nothing that had to be told
	Told                       // no hazard, and it was told
	ToldLate                   // comfort or energy lost, and told once weeks could be compared
	Covered                    // an independent part kept the hazard away
	Fitting                    // software can't see it: what must be fitted protects
	LeftToParts                // told, and what remains must be covered by what is fitted
	Unheard                    // comfort or energy lost, or silence, that software could have told
	Open                       // people hurt or plant destroyed, and software could have told
)

var verdictWords = [...]string{
	NotTried:    "tried elsewhere",
	NothingSeen: "safe, nothing to tell",
	Told:        "safe and told",
	ToldLate:    "told, after weeks",
	Covered:     "covered by an independent part",
	Fitting:     "software can't see it: a fitting requirement",
	LeftToParts: "told; the rest is for what is fitted",
	Unheard:     "not told: comfort or energy lost",
	Open:        "OPEN",
}

// String is the verdict in words.
func (v Verdict) String() string { return verdictWords[v] }

// Result is a trial held against its healthy twin.
type Result struct {
	Failure *Failure
	Trial   Trial
	Hazards []Hazard // beyond the twin's
	Bare    []Hazard // that appear only when the parts of Failure.Covers are taken away
	Told    bool
	After   time.Duration // from the strike until it was told
	Late    bool          // people were hurt, or the plant, before it was told
	Key     string        // of the finding or reason that told
	Message string        // what it said
	Also    []string      // keys of other findings that the twin had not
	Stood   []string      // keys of findings that stood when a severe hazard first showed, whether or not the twin had them
	Effect  bool          // the plant's temperatures moved away from the twin's
	Back    time.Duration // from the repair until no finding is left that the twin has not; 0 when none was
	Stuck   []string      // findings that are still there at the end
	Words   []string      // findings that the twin has not and that a person's word has ended, a day after the repair
	Hunts   bool          // outputs start far more often in an hour after the repair than the twin's
	Verdict Verdict
}

// near is how far apart in time two findings of one kind may be and still be the
// same event in run and twin.
const near = 2 * time.Hour

// had tells whether the twin had a finding at about that time.
func (r *Record) had(k control.FindingKind, from, to time.Duration) bool {
	return slices.ContainsFunc(r.spans, func(s span) bool { return s.kind == k && s.from <= to+near && s.to >= from-near })
}

// compare holds a run against its twin.
func compare(f *Failure, t Trial, rec, twin *Record) Result {
	res := Result{Failure: f, Trial: t, Effect: rec.trace.apart(twin.trace) > 1}
	for h := range numHazards {
		if rec.Harm.beyond(&twin.Harm, h) {
			res.Hazards = append(res.Hazards, h)
		}
	}
	res.Stood = rec.standing(severe(res.Hazards))
	res.listen(rec, twin)
	for _, h := range severe(res.Hazards) {
		res.Late = res.Late || res.Told && rec.Harm.First[h] < t.strikes()+res.After
	}
	res.settleDown(rec, twin)
	return res
}

// standing lists the findings that stood when hazards first showed, or came
// within near.
func (r *Record) standing(hazards []Hazard) (keys []string) {
	for _, h := range hazards {
		for _, s := range r.spans {
			if s.from <= r.Harm.First[h]+near && s.to >= r.Harm.First[h] {
				keys = append(keys, s.kind.String())
			}
		}
	}
	return keys
}

// listen finds the first thing that told of the failure.
func (res *Result) listen(rec, twin *Record) {
	strikes, repaired := res.Trial.strikes(), res.Trial.repaired()
	res.After = never
	hears := func(key string, at time.Duration, text string) {
		if at-strikes < res.After {
			res.Told, res.After, res.Key, res.Message = true, at-strikes, key, text
		}
	}
	for _, s := range rec.spans {
		// What is found within an hour of the repair was still the fault's doing.
		if s.from < strikes || s.from > repaired+time.Hour || twin.had(s.kind, s.from, s.from) {
			continue
		}
		if key := s.kind.String(); slices.Contains(res.Failure.Tells, key) {
			hears(key, s.from, s.kind.Title()+": "+s.text)
		} else if !slices.Contains(res.Also, key) {
			res.Also = append(res.Also, key)
		}
	}
	if res.Told {
		return
	}
	for w, at := range rec.reasons {
		key := control.Words(w).Key()
		if at >= strikes && at <= repaired && twin.reasons[w] == 0 && slices.Contains(res.Failure.Tells, key) {
			hears(key, at, rec.first[w])
		}
	}
}

const never = time.Duration(1<<63 - 1)

// settleDown tells whether and when the run was like its twin again.
func (res *Result) settleDown(rec, twin *Record) {
	repaired, ends := res.Trial.repaired(), res.Trial.ends()
	res.Hunts = rec.startsAfter >= chatterStarts && rec.startsAfter > twin.startsAfter+4
	for _, k := range rec.words {
		if at := repaired + wordAfter; !twin.had(k, at, at) {
			res.Words = append(res.Words, k.String())
		}
	}
	for _, s := range rec.spans {
		if s.to <= repaired || twin.had(s.kind, max(s.from, repaired), s.to) {
			continue
		}
		res.Back = max(res.Back, s.to-repaired)
		if s.to == ends {
			res.Stuck = append(res.Stuck, s.kind.String())
		}
	}
}

// severe lists those that hurt people or destroy the plant.
func severe(all []Hazard) []Hazard {
	return slices.DeleteFunc(slices.Clone(all), func(h Hazard) bool { return !h.Severe() })
}

// alarmed tells whether each of some hazards was told of by an alarm of its own,
// though not by its cause. One that stood already, as of a tank that the sun had
// overheated before, says the same to whoever reads it.
func (res *Result) alarmed(hazards []Hazard) bool {
	for _, h := range hazards {
		if h == PumpOnSteam && slices.Contains(res.Hazards, LoopBurst) {
			continue // a burst loop has lost its fluid: one harm, not two
		}
		if !slices.ContainsFunc(hazardTable[h].alarms, func(key string) bool {
			return key == res.Key || slices.Contains(res.Also, key) || slices.Contains(res.Stood, key)
		}) {
			return false
		}
	}
	return true
}

// judge gives the run its verdict. An alarm of the harm does for telling only where
// software could have told of the cause: else the part that is fitted is all there is.
func (res *Result) judge() {
	visible := res.Failure.Sight != Unseen
	bad := len(severe(res.Hazards)) > 0
	switch {
	case bad && (res.Told || visible && res.alarmed(severe(res.Hazards))):
		res.Verdict = LeftToParts
	case bad && visible:
		res.Verdict = Open
	case bad, !visible && len(res.Hazards) > 0 && !res.Told:
		res.Verdict = Fitting
	case len(res.Bare) > 0:
		res.Verdict = Covered
	case res.Told:
		res.Verdict = Told
	case visible && len(res.Hazards) > 0:
		res.Verdict = Unheard
	case visible:
		res.Verdict = NothingSeen
	default:
		res.Verdict = Fitting
	}
}
