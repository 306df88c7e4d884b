package messages

import (
	"fmt"
	"net/url"
	"strings"

	"sunstoker/dashboard"
	"sunstoker/dashboard/door"
	"sunstoker/station/tick"
)

// house is the house without its parts, which have topics of their own: empty fields
// of the same names hide them.
type house struct {
	dashboard.Now
	Readings *struct{} `json:"readings,omitempty"`
	Systems  *struct{} `json:"systems,omitempty"`
	Findings *struct{} `json:"findings,omitempty"`
}

// system is a system without its parts.
type system struct {
	dashboard.System
	Readings *struct{} `json:"readings,omitempty"`
	Outputs  *struct{} `json:"outputs,omitempty"`
}

// contents lists what there is, for programs that look for it.
type contents struct {
	Readings []readingAt `json:"readings"`
	Outputs  []outputAt  `json:"outputs"`
	Asks     []askAt     `json:"asks"` // that are listened to
}

type readingAt struct {
	Topic  string `json:"topic"`
	System string `json:"system"` // its name; empty for the house
	Place  string `json:"place"`
	Words  string `json:"words"`
	Unit   string `json:"unit"`
}

type outputAt struct {
	Topic    string `json:"topic"`
	System   string `json:"system"`
	Actuator string `json:"actuator"`
	Words    string `json:"words"`
}

type askAt struct {
	Topic   string `json:"topic"`
	Payload string `json:"payload"` // an example; the word "end" ends it
}

// subjectsOf is all that can be told of a tick.
func subjectsOf(t *tick.Tick, may door.Role) []subject {
	now := dashboard.NowOf(t)
	all := []subject{
		{"contents", "", contentsOf(&now, may)},
		{"house", sign(now.Servicing, now.HolidaySeconds > 0, now.Wall.Trusted), house{Now: now}},
		{"findings", signOfFindings(now.Findings), now.Findings},
	}
	for i := range now.Readings {
		all = append(all, readingSubject("", &now.Readings[i]))
	}
	for i := range now.Systems {
		s := &now.Systems[i]
		at := systemTopic(s.Name)
		all = append(all, subject{at, sign(s.HeatFromSun, s.HeatFromMeter, s.BoostSeconds > 0), system{System: *s}})
		for k := range s.Readings {
			all = append(all, readingSubject(at+"/", &s.Readings[k]))
		}
		for k := range s.Outputs {
			o := &s.Outputs[k]
			all = append(all, subject{outputTopic(at, o), signOfOutput(o), o})
		}
	}
	return all
}

func readingSubject(at string, r *dashboard.Reading) subject {
	why := ""
	if r.Why != nil {
		why = r.Why.Key
	}
	return subject{readingTopic(at, r), sign(r.Quality, r.HeldOver, why, r.Fault), r}
}

func readingTopic(at string, r *dashboard.Reading) string { return at + "readings/" + r.Place }

func outputTopic(at string, o *dashboard.Output) string { return at + "/outputs/" + o.Actuator }

// systemTopic is the topic of a system by its name, which may hold signs that topics
// must not: they are written as in the path of the JSON interface.
func systemTopic(name string) string {
	return "systems/" + strings.ReplaceAll(url.PathEscape(name), "+", "%2B")
}

func sign(of ...any) string { return fmt.Sprintln(of...) }

// signOfOutput leaves the level of a pump whose speed follows the sun aside, but for
// whether it is on.
func signOfOutput(o *dashboard.Output) string {
	return sign(o.LevelRatio > 0, o.WantedRatio > 0, o.Rank, o.Reason.Key, o.Urgent, o.Fault, o.OverrideSecondsLeft > 0, o.OverrideRatio)
}

func signOfFindings(all []dashboard.Finding) string {
	var out strings.Builder
	for i := range all {
		f := &all[i]
		out.WriteString(sign(f.Kind, f.System, f.Part, f.Urgency))
	}
	return out.String()
}

func contentsOf(now *dashboard.Now, may door.Role) contents {
	c := contents{Readings: []readingAt{}, Outputs: []outputAt{}, Asks: []askAt{}}
	ask := func(need door.Role, topic, payload string) {
		if may.May(need) {
			c.Asks = append(c.Asks, askAt{"ask/" + topic, payload})
		}
	}
	readings := func(at, name string, of []dashboard.Reading) {
		for i := range of {
			r := &of[i]
			c.Readings = append(c.Readings, readingAt{readingTopic(at, r), name, r.Place, r.Words, r.Unit})
		}
	}
	readings("", "", now.Readings)
	ask(door.Use, "holiday", `{"length": "14 d"}`)
	for i := range now.Systems {
		s := &now.Systems[i]
		at := systemTopic(s.Name)
		readings(at+"/", s.Name, s.Readings)
		ask(door.Use, at+"/boost", `{"length": "2 h"}`)
		for k := range s.Outputs {
			o := &s.Outputs[k]
			c.Outputs = append(c.Outputs, outputAt{outputTopic(at, o), s.Name, o.Actuator, o.Words})
			ask(door.Install, outputTopic(at, o)+"/override", `{"level": "on", "length": "1 h"}`)
		}
	}
	return c
}
