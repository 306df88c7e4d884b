package station

import (
	"fmt"
	"log/slog"
	"slices"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// journal writes to the log what changes from tick to tick: switchings with
// their reasons, faults of outputs, findings.
type journal struct {
	log      *slog.Logger
	on       []bool
	faulty   []bool
	findings []foundKey
}

// foundKey tells one finding from another.
type foundKey struct {
	kind     control.FindingKind
	system   int
	about    control.About
	place    control.Place
	actuator control.Actuator
}

func keyOf(f *control.Finding) foundKey {
	return foundKey{f.Kind, f.System, f.About, f.Place, f.Actuator}
}

func newJournal(log *slog.Logger, plan *control.Plan) journal {
	return journal{log: log, on: make([]bool, len(plan.Outputs)), faulty: make([]bool, len(plan.Outputs))}
}

func (j *journal) write(t *tick.Tick) {
	plan := t.House.Plan
	for i := range t.Outputs {
		o := &t.Outputs[i]
		system := plan.Systems[plan.Outputs[i].System].Name
		name := plan.Outputs[i].Actuator.Words()
		if on := o.Level > 0; on != j.on[i] {
			j.on[i] = on
			j.log.Info(name+" "+onOff(on), "system", system, "because", o.Reason.String(), "rank", o.Rank.String())
		}
		if faulty := o.Fault != ""; faulty != j.faulty[i] {
			j.faulty[i] = faulty
			if faulty {
				j.log.Error(name+" could not be driven", "system", system, "error", o.Fault)
			} else {
				j.log.Info(name+" can be driven again", "system", system)
			}
		}
	}
	j.writeFindings(t)
}

func (j *journal) writeFindings(t *tick.Tick) {
	present := func(k foundKey) bool {
		return slices.ContainsFunc(t.Findings, func(f control.Finding) bool { return keyOf(&f) == k })
	}
	for i := range t.Findings {
		f := &t.Findings[i]
		if k := keyOf(f); !slices.Contains(j.findings, k) {
			j.findings = append(j.findings, k)
			j.log.Warn("finding: "+f.Kind.Title(), "where", whereOf(k, t.House.Plan), "urgency", f.Kind.Urgency().String(),
				"seen", f.Evidence.String(), "detail", f.Detail)
		}
	}
	j.findings = slices.DeleteFunc(j.findings, func(k foundKey) bool {
		if present(k) {
			return false
		}
		j.log.Info("no longer found: "+k.kind.Title(), "where", whereOf(k, t.House.Plan))
		return true
	})
}

func whereOf(k foundKey, plan *control.Plan) string {
	where := "the house"
	if k.system != control.House {
		where = plan.Systems[k.system].Name
	}
	switch k.about {
	case control.AboutProbe:
		return where + ", " + k.place.Words()
	case control.AboutOutput:
		return where + ", " + k.actuator.Words()
	}
	return where
}

// status is the one line that the service manager shows.
func status(t *tick.Tick) string {
	if len(t.Findings) == 0 {
		return "keeping the tick; nothing is found wrong"
	}
	return fmt.Sprintf("keeping the tick; %d found wrong, first: %s", len(t.Findings), t.Findings[0].Kind.Title())
}

func onOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

func typeName(v any) string { return fmt.Sprintf("%T", v) }
