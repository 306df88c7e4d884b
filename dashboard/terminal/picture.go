package terminal

import (
	"fmt"
	"math"
	"strings"

	"sunstoker/dashboard"
	"sunstoker/planner/paper"
)

// tone is how a row is set off, where a terminal can: a word in it says the same.
type tone uint8

const (
	usual tone = iota
	strong
	warning
	coldWater
	warmWater
	hotWater
)

type row struct {
	tone tone
	text string
}

// picture is the house on so many columns and rows; it has as many rows as it takes
// where rows is 0. What matters most stands at the top, since the rest may not fit.
func picture(v view, columns, rows int) []row {
	p := &painter{columns: max(columns, 1)}
	p.header(v)
	p.say(warning, banner(v))
	if v.now != nil {
		p.house(v, rows)
	}
	if rows > 0 && len(p.rows) > rows {
		p.rows = p.rows[:rows]
	}
	for i := range p.rows {
		p.rows[i].text = cut(paper.Plain(p.rows[i].text), p.columns)
	}
	return p.rows
}

type painter struct {
	columns int
	rows    []row
}

func (p *painter) add(t tone, text string) { p.rows = append(p.rows, row{t, text}) }

func (p *painter) gap() { p.add(usual, "") }

// say writes a sentence, if there is one.
func (p *painter) say(t tone, text string) {
	if text == "" {
		return
	}
	for _, line := range paper.Lines("", 0, p.columns, text) {
		p.add(t, line)
	}
}

func (p *painter) header(v view) {
	if v.now == nil {
		p.add(strong, "sunstoker")
		return
	}
	name, at := paper.Plain(v.now.Site), clock(v.now)
	if v.line != live && v.now.Wall.Trusted {
		at = "as of " + at
	}
	name = cut(name, max(0, p.columns-width(at)-1))
	at = cut(at, p.columns)
	p.add(strong, name+strings.Repeat(" ", max(1, p.columns-width(name)-width(at)))+at)
}

// house draws the systems with digits as large as the words leave room for.
func (p *painter) house(v view, rows int) {
	above, size := p.rows, 1
	p.rows = nil
	p.draw(v, size)
	for larger := size + 1; larger <= largest; larger++ {
		smaller := p.rows
		p.rows = nil
		p.draw(v, larger)
		room := rows - len(above)
		if rows == 0 {
			room = usualRows - len(above)
		}
		if len(p.rows) > room || !p.fits(v, larger) {
			p.rows = smaller
			break
		}
	}
	p.rows = append(above, p.rows...)
}

const (
	largest   = 12
	usualRows = 24 // of a picture that goes to no terminal
)

// fits tells whether all digits are drawn whole at a size.
func (p *painter) fits(v view, size int) bool {
	for i := range v.now.Systems {
		if largeWidth(degrees(&v.now.Systems[i]), size) > p.columns {
			return false
		}
	}
	return true
}

func (p *painter) draw(v view, size int) {
	several := len(v.now.Systems) > 1
	live := v.line == live
	if live {
		p.urgent(v.now, several)
	}
	for i := range v.now.Systems {
		p.tank(&v.now.Systems[i], several, live, size)
	}
	if live {
		p.outputs(v.now, several)
		p.findings(v.now, several)
	}
}

// degrees is the temperature to be drawn large: whole degrees, since nobody tells a
// tenth from across the room.
func degrees(s *dashboard.System) string {
	top, good := reading(s, "tank_top")
	if !good {
		return "?"
	}
	return fmt.Sprintf("%.0f", math.Round(min(max(top, -99), 999))+0)
}

func (p *painter) tank(s *dashboard.System, several, live bool, size int) {
	p.gap()
	if several {
		p.say(strong, s.Name)
	}
	top, good := reading(s, "tank_top")
	p.digits(s, good, live, toneOf(top, good), size)
	p.gap()
	switch {
	case !good:
		p.say(warning, "The top of the tank can't be read now."+bottomInstead(s))
	case !live:
		p.say(warning, fmt.Sprintf("OLD: %.1f °C at the top of the tank when last heard of, %s.", top, waterWord(top)))
	default:
		p.say(strong, fmt.Sprintf("%.1f °C at the top of the tank: %s.", top, waterWord(top)))
	}
	if good && top >= scaldingFromC {
		p.say(warning, scalding)
	}
	if !live {
		return
	}
	p.say(strong, litresLeft(s))
	p.say(strong, heating(s.HeatFromSun, s.HeatFromMeter))
}

// outputs says what runs, and why.
func (p *painter) outputs(now *dashboard.Now, several bool) {
	for i := range now.Systems {
		s := &now.Systems[i]
		if several {
			p.gap()
			p.say(strong, s.Name)
		}
		for k := range s.Outputs {
			t := usual
			if s.Outputs[k].Fault != "" {
				t = warning
			}
			p.say(t, outputSays(&s.Outputs[k]))
		}
	}
}

// digits draws the temperature, with its unit where there is room. What is old says
// so as large as the digits, where there is room, or above them.
func (p *painter) digits(s *dashboard.System, good, live bool, t tone, size int) {
	text := degrees(s)
	unit := text + "°C"
	if good && largeWidth(unit, size) <= p.columns {
		text = unit
	}
	if !live {
		if beside := "OLD " + text; largeWidth(beside, size) <= p.columns {
			text = beside
		} else {
			p.large(warning, "OLD", size)
			p.gap()
		}
		t = warning
	}
	p.large(t, text, size)
}

func (p *painter) large(t tone, text string, size int) {
	for _, line := range large(text, size) {
		p.add(t, line)
	}
}

func toneOf(topC float64, good bool) tone {
	switch {
	case !good:
		return warning
	case topC < 38:
		return coldWater
	case topC < scaldingFromC:
		return warmWater
	}
	return hotWater
}

func bottomInstead(s *dashboard.System) string {
	if bottom, good := reading(s, "tank_bottom"); good {
		return fmt.Sprintf(" Its bottom is at %.1f °C.", bottom)
	}
	return ""
}

// urgent says above all else what is to be acted on at once.
func (p *painter) urgent(now *dashboard.Now, several bool) {
	for i := range now.Findings {
		if f := &now.Findings[i]; f.Urgency == "at_once" {
			p.say(warning, urgencyWords(f.Urgency)+": "+headline(f, several)+".")
		}
	}
	if now.Servicing {
		p.say(warning, "Somebody works on the plant: nothing is heated or pumped until the service state ends.")
	}
}

// findings says what is wrong, and what to check of what is urgent.
func (p *painter) findings(now *dashboard.Now, several bool) {
	p.gap()
	if len(now.Findings) == 0 {
		p.say(usual, "No findings: nothing is known to be wrong.")
		return
	}
	p.say(strong, fmt.Sprintf("What is wrong (%s):", counted(len(now.Findings), "finding")))
	for i := range now.Findings {
		f := &now.Findings[i]
		words := urgencyWords(f.Urgency) + ": " + paper.Sentence(headline(f, several))
		if f.Urgency == "at_once" {
			words += " " + paper.Sentence(f.Check)
		}
		for _, line := range paper.Lines("- ", 2, p.columns, words) {
			p.add(usual, line)
		}
	}
}
