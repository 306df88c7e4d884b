package handover

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"sunstoker/planner/paper"
	"sunstoker/site"
)

// Paper writes the steps of a site as a form: to be printed and filled in by hand,
// or to be filled in and given back as answers. A step without an answer stays
// open. "#" begins a remark.
func Paper(w io.Writer, s *site.Site) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "# Hand-over of %s\n#\n# Write the answer behind the colon. An empty one leaves the step open.\n# To leave a step out: skip because …\n", s.Name)
	group := ""
	for _, step := range Steps(s) {
		if step.Group != group {
			group = step.Group
			fmt.Fprintf(out, "\n#\n# %s\n#\n", group)
		}
		fmt.Fprintln(out)
		for _, text := range []string{step.Do, step.Ask + " (" + step.wanted() + ")"} {
			for _, line := range paper.Lines("", 0, 96, text) {
				fmt.Fprintln(out, "# "+line)
			}
		}
		fmt.Fprintln(out, step.Key+":")
	}
	return out.Flush()
}

// Answers are what a file answers, by the steps' keys.
type Answers map[string]string

// ReadAnswers reads a file of answers to the steps of a site, each on a line of its
// own behind its step's name and a colon. All mistakes are told, with their lines.
func ReadAnswers(name string, text []byte, s *site.Site) (Answers, error) {
	steps := Steps(s)
	answers := Answers{}
	lineOf := map[string]int{}
	trial := &Record{} // in the file's order, so that a signature finds its name
	var errs []error
	number := 0
	for line := range strings.Lines(string(text)) {
		number++
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		wrong := func(format string, args ...any) {
			errs = append(errs, fmt.Errorf("%s:%d: %w", name, number, fmt.Errorf(format, args...)))
		}
		step, answer, known := splitLine(steps, line)
		switch {
		case !known:
			wrong("%q begins with no step of this site; the command \"handover\" with --paper writes them all", cut(line))
		case answer == "":
		case lineOf[step.Key] > 0:
			wrong("%q is answered in line %d already; take one of the two out", step.Key, lineOf[step.Key])
		default:
			lineOf[step.Key] = number
			reply, err := step.Understand(trial, answer)
			if err != nil {
				wrong("%s: %w", step.Key, err)
				continue
			}
			trial.Put(reply.Answer)
			answers[step.Key] = answer
		}
	}
	return answers, errors.Join(errs...)
}

// cut is the beginning of a line, for a file that holds no answers at all.
func cut(line string) string {
	const most = 60
	if letters := []rune(line); len(letters) > most {
		return string(letters[:most]) + "…"
	}
	return line
}

// splitLine finds the step that a line answers. A system's name may hold a colon.
func splitLine(steps []Step, line string) (step *Step, answer string, known bool) {
	for i := range steps {
		rest, begins := strings.CutPrefix(line, steps[i].Key)
		rest = strings.TrimSpace(rest)
		if begins && strings.HasPrefix(rest, ":") && (step == nil || len(steps[i].Key) > len(step.Key)) {
			step, answer, known = &steps[i], strings.TrimSpace(rest[1:]), true
		}
	}
	return step, answer, known
}
