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
	LeftToParts                // told before the harm, and what remains must be covered by what is fitted
	Unheard                    // comfort or energy lost, or silence, that software could have told
	ToldTooLate                // told, once people or plant had begun to come to harm
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
	ToldTooLate: "told only after the harm had begun",
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
	After   time.Duration             // from the strike until it was told
	Key     string                    // of the finding or reason that told
	Message string                    // what it said
	Also    []string                  // keys of other findings that the twin had not
	First   [numHazards]time.Duration // when each hazard first showed
	Alarm   [numHazards]time.Duration // when an alarm of each hazard's own was given; never: not
	Effect  bool                      // the plant's temperatures moved away from the twin's
	Back    time.Duration             // from the repair until no finding is left that the twin has not; 0 when none was
	Stuck   []string                  // findings that are still there at the end
	Words   []string                  // findings that the twin has not and that a person's word has ended, a day after the repair
	Hunts   bool                      // outputs start far more often in an hour after the repair than the twin's
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
	res.First = rec.Harm.First
	for _, h := range severe(res.Hazards) {
		res.Alarm[h] = rec.alarm(h, t, twin)
	}
	res.listen(rec, twin)
	res.settleDown(rec, twin)
	return res
}

// alarm is when an alarm of a hazard itself, whatever its cause, was given: one that
// the twin had not, or one that stood when the hazard first showed or came within
// near, whether or not the twin had it. What the sun had overheated before says the
// same to whoever reads it.
func (r *Record) alarm(h Hazard, t Trial, twin *Record) time.Duration {
	first := never
	for _, s := range r.spans {
		if !slices.Contains(hazardTable[h].alarms, s.kind.String()) {
			continue
		}
		stood := s.from <= r.Harm.First[h]+near && s.to >= r.Harm.First[h]
		fresh := s.from >= t.strikes() && s.from <= t.repaired()+time.Hour && !twin.had(s.kind, s.from, s.from)
		if stood || fresh {
			first = min(first, s.from)
		}
	}
	return first
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

// waited is how long some hazards had been there when the program told of them: by
// their cause or, where software could see that, by an alarm of their own. It is that
// of the hazard that waited longest: never when one was not told of, and not above 0
// when all were told of in time.
func (res *Result) waited(hazards []Hazard) time.Duration {
	longest := -never
	for _, h := range hazards {
		if h == PumpOnSteam && slices.Contains(res.Hazards, LoopBurst) {
			continue // a burst loop has lost its fluid: one harm, not two
		}
		told := never
		if res.Told {
			told = res.Trial.strikes() + res.After
		}
		if res.Failure.Sight != Unseen {
			told = min(told, res.Alarm[h])
		}
		if told == never {
			return never
		}
		longest = max(longest, told-res.First[h])
	}
	return longest
}

// late tells whether people or plant had begun to come to harm when it was told.
func (res *Result) late() bool {
	waited := res.waited(severe(res.Hazards))
	return waited > 0 && waited < never
}

// byAlarm tells whether what came first was an alarm of the harm itself, which names
// no cause.
func (res *Result) byAlarm() bool {
	return slices.ContainsFunc(severe(res.Hazards), func(h Hazard) bool {
		if res.Told {
			return slices.Contains(hazardTable[h].alarms, res.Key)
		}
		return res.Failure.Sight != Unseen && res.Alarm[h] < never
	})
}

// judge gives the run its verdict. Harm that was told of is held against when it
// began. An alarm of the harm does for telling only where software could have told of
// the cause: else the part that is fitted is all there is.
func (res *Result) judge() {
	visible := res.Failure.Sight != Unseen
	bad := severe(res.Hazards)
	switch waited := res.waited(bad); {
	case len(bad) > 0 && waited < never:
		res.Verdict = toldWith(waited)
	case len(bad) > 0 && visible:
		res.Verdict = Open
	case len(bad) > 0, !visible && len(res.Hazards) > 0 && !res.Told:
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

// toldWith is the verdict on harm that was told of.
func toldWith(waited time.Duration) Verdict {
	if waited > 0 {
		return ToldTooLate
	}
	return LeftToParts
}
