package dashboard

import (
	"strings"

	"sunstoker/control"
)

// rankNames are the ranks as JSON and metric labels name them.
var rankNames = [...]string{
	control.Upkeep: "upkeep", control.Economy: "economy", control.Comfort: "comfort",
	control.Hygiene: "hygiene", control.Person: "person", control.Protect: "protection",
}

func rankName(r control.Rank) string {
	if int(r) < len(rankNames) {
		return rankNames[r]
	}
	return "unknown"
}

// rankNamed is the same for a rank as the history keeps it, in words.
func rankNamed(words string) string {
	for r := range control.Rank(len(rankNames)) {
		if r.String() == words {
			return rankName(r)
		}
	}
	return words
}

func urgencyName(u control.Urgency) string { return strings.ReplaceAll(u.String(), " ", "_") }

// partOf names the place or actuator that a finding is about, and says it in
// words; both are empty when it is about a system or the house.
func partOf(f *control.Finding) (name, words string) {
	switch f.About {
	case control.AboutProbe:
		return f.Place.String(), f.Place.Words()
	case control.AboutOutput:
		return f.Actuator.String(), f.Actuator.Words()
	}
	return "", ""
}

// partWords says in words what a series or an event is about, as far as it is a
// place or an actuator; else it is empty.
func partWords(name string) string {
	for _, p := range control.Places() {
		if p.String() == name {
			return p.Words()
		}
	}
	for _, a := range control.Actuators() {
		if a.String() == name {
			return a.Words()
		}
	}
	return ""
}

// systemName is a system's name; empty for the house.
func systemName(plan *control.Plan, system int) string {
	if system < 0 || system >= len(plan.Systems) {
		return ""
	}
	return plan.Systems[system].Name
}
