package handover

import (
	"fmt"
	"strings"
	"time"

	"sunstoker/control"
)

// Reply is an answer as it was typed and understood.
type Reply struct {
	Answer
	// Now: the person wants a live step to be tried.
	Now bool
	// Files are named for pictures, which are still to be looked at.
	Files []string
}

// Understand reads what a person has typed for a step. Figures are judged by the
// site and by what was answered before. The error says how to answer.
func (s *Step) Understand(r *Record, text string) (*Reply, error) {
	text = strings.TrimSpace(text)
	reply := &Reply{Answer: Answer{Step: s.Key, Said: text, About: s.About}}
	word, rest := firstWord(text)
	switch {
	case text == "":
		return nil, fmt.Errorf("an answer is missing; %s", s.wanted())
	case word == "skip":
		reason := withoutBecause(rest)
		if reason == "" {
			return nil, fmt.Errorf("a step that is left out needs a reason: write such as %q", "skip because the roof is wet")
		}
		reply.Outcome, reply.Said = Skipped, reason
		return reply, nil
	}
	return reply, s.read(r, reply, word, rest)
}

// read reads an answer by the step's form.
func (s *Step) read(r *Record, reply *Reply, word, rest string) error {
	switch s.Form {
	case Confirm:
		return s.readYes(reply, word, rest)
	case Measure:
		if word == "no" {
			return s.readYes(reply, word, rest)
		}
		return s.readFigure(r, reply)
	case Date:
		if _, err := time.Parse(time.DateOnly, reply.Said); err != nil {
			return fmt.Errorf("%q is no day; write it as 2026-05-01", reply.Said)
		}
	case Photos:
		for name := range strings.SplitSeq(reply.Said, ",") {
			if name = strings.TrimSpace(name); name == "" {
				return fmt.Errorf("a file's name is missing between commas; %s", s.wanted())
			}
			reply.Files = append(reply.Files, strings.TrimSpace(name))
		}
	case Sign:
		return s.readSignature(r, reply)
	case Switch:
		return s.readSeen(reply, word, rest)
	case Warm, Move, Heat:
		if word != "now" || rest != "" {
			return fmt.Errorf("%q is no answer here; %s", reply.Said, s.wanted())
		}
		reply.Now = true
		return nil
	}
	reply.Outcome = Done
	return nil
}

// wanted says how to answer a step.
func (s *Step) wanted() string {
	const skip = `, or "skip because …"`
	switch s.Form {
	case Confirm:
		return `write "yes", "no because …"` + skip
	case Measure:
		var units []string
		for _, u := range s.Units {
			units = append(units, fmt.Sprintf("%q", u.Format(10)))
		}
		return "write a figure with its unit, such as " + strings.Join(units, " or ") + `, "no because …"` + skip
	case Date:
		return "write the day as 2026-05-01" + skip
	case Photos:
		return "write names of files with commas between them" + skip
	case Switch:
		return `write "right", "nothing", "inverted", "other …"` + skip
	case Warm, Move, Heat:
		return `write "now"` + skip
	}
	return "write it in your words" + skip
}

func (s *Step) readYes(reply *Reply, word, rest string) error {
	switch {
	case word == "yes":
		reply.Outcome = Done
		return nil
	case word == "no" && withoutBecause(rest) != "":
		reply.Outcome, reply.Said = Fault, "no: "+withoutBecause(rest)
		return nil
	case word == "no":
		return fmt.Errorf("a no needs its reason, for whoever mends it: write such as %q", "no because the valve is missing")
	}
	return fmt.Errorf("%q is neither yes nor no; %s", reply.Said, s.wanted())
}

func (s *Step) readFigure(r *Record, reply *Reply) error {
	var f figure
	var err error
	for _, unit := range s.Units {
		f.unit = unit
		if f.value, err = unit.Parse(reply.Said); err == nil {
			break
		}
	}
	if err != nil {
		return fmt.Errorf("%w; %s", err, s.wanted())
	}
	reply.Outcome, reply.Seen = s.judge(r, f)
	reply.Value = &f.value
	return nil
}

// readSeen takes what a person saw of an output that was held on.
func (s *Step) readSeen(reply *Reply, word, rest string) error {
	switch {
	case word == "right" && rest == "":
		reply.Outcome = Done
	case word == "nothing" && rest == "":
		reply.Outcome = Fault
		reply.Seen = "Nothing came on: look for its supply, its isolator, its plug and the line in the site file."
	case word == "inverted" && rest == "":
		reply.Outcome = Fault
		reply.Seen = "DANGER: it is on while the program takes it for off, and on while the board starts. Switch it off at its isolator, and have the wiring changed so that it is on while its line is high; no setting turns it around."
	case word == "other" && rest != "":
		reply.Outcome = Fault
		reply.Seen = "Another part came on: exchange the wires, or the lines in the site file."
	case word == "other":
		return fmt.Errorf("write what came on: such as %q", "other the circulation pump")
	default:
		return fmt.Errorf("%q is no answer here; %s", reply.Said, s.wanted())
	}
	reply.Now = true
	return nil
}

// readSignature takes the signature of whoever was named at the beginning.
func (s *Step) readSignature(r *Record, reply *Reply) error {
	i := r.index(installerKey)
	if i < 0 || r.Answers[i].Outcome != Done {
		return fmt.Errorf("nobody is named who hands over: answer the step %q first", installerKey)
	}
	if !strings.EqualFold(reply.Said, r.Answers[i].Said) {
		return fmt.Errorf("%q was named as who hands over, and can alone sign; write the name as it was written there", r.Answers[i].Said)
	}
	reply.Outcome = Done
	return nil
}

func firstWord(text string) (word, rest string) {
	word, rest, _ = strings.Cut(text, " ")
	return strings.ToLower(strings.Trim(word, ".,:;")), strings.TrimSpace(rest)
}

func withoutBecause(text string) string {
	if word, rest := firstWord(text); word == "because" {
		return rest
	}
	return text
}

// Stamp dates an answer by the clock, if that is set.
func (a *Answer) Stamp(wall control.Wall) {
	if wall.Trusted {
		a.At = wall.Time.UTC().Truncate(time.Second)
	}
}
