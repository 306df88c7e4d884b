package terminal

import (
	"fmt"
	"strings"

	"sunstoker/dashboard"
	"sunstoker/planner/paper"
)

// plainLines are the house for what is no terminal: a line for each system.
func plainLines(v view) (lines []string) {
	if v.now == nil {
		return []string{paper.Plain(banner(v))}
	}
	at := clockUnset
	if v.now.Wall.Trusted {
		at = v.now.Wall.Local.Format("2006-01-02 15:04")
	}
	if v.line != live {
		at += " OLD"
	}
	for i := range v.now.Systems {
		s := &v.now.Systems[i]
		said := []string{topWords(s)}
		if v.line == live {
			said = append(said, heatingWords(s)...)
		}
		lines = append(lines, paper.Plain(fmt.Sprintf("%s %s: %s", at, s.Name, strings.Join(said, " "))))
	}
	if v.line != live {
		return append(lines, paper.Plain(at+" "+banner(v)))
	}
	several := len(v.now.Systems) > 1
	for i := range v.now.Findings {
		f := &v.now.Findings[i]
		lines = append(lines, paper.Plain(fmt.Sprintf("%s %s: %s.", at, urgencyWords(f.Urgency), headline(f, several))))
	}
	return lines
}

func topWords(s *dashboard.System) string {
	if top, good := reading(s, "tank_top"); good {
		return fmt.Sprintf("%.1f °C at the top of the tank, %s.", top, waterWord(top))
	}
	return "The top of the tank can't be read." + bottomInstead(s)
}

func heatingWords(s *dashboard.System) []string {
	words := []string{litresLeft(s), heating(s.HeatFromSun, s.HeatFromMeter)}
	for i := range s.Outputs {
		words = append(words, outputSays(&s.Outputs[i]))
	}
	return words
}
