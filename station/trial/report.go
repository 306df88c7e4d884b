package trial

import (
	"encoding/xml"
	"fmt"
	"io"
	"time"
)

// The elements of a report in the style of JUnit, which build servers read (their
// common use, from memory; no standard).
type (
	suites struct {
		XMLName  xml.Name `xml:"testsuites"`
		Tests    int      `xml:"tests,attr"`
		Failures int      `xml:"failures,attr"`
		Suites   []suite  `xml:"testsuite"`
	}
	suite struct {
		Name     string  `xml:"name,attr"`
		Tests    int     `xml:"tests,attr"`
		Failures int     `xml:"failures,attr"`
		Seconds  seconds `xml:"time,attr"`
		Cases    []check `xml:"testcase"`
	}
	check struct {
		Name    string   `xml:"name,attr"`
		Class   string   `xml:"classname,attr"`
		Seconds seconds  `xml:"time,attr"`
		Failure *failure `xml:"failure"`
	}
	failure struct {
		Message string `xml:"message,attr"`
	}
	seconds time.Duration
)

// MarshalText writes seconds with three digits.
func (s seconds) MarshalText() ([]byte, error) {
	return fmt.Appendf(nil, "%.3f", time.Duration(s).Seconds()), nil
}

// WriteReport writes results as XML: a suite for each script, a case for each of
// its expectations. Times are those of the house.
func WriteReport(w io.Writer, results []*Result) error {
	all := suites{}
	for _, r := range results {
		s := suite{Name: r.Script.Name, Tests: len(r.Outcomes), Failures: r.Failed(), Seconds: seconds(r.Length)}
		for _, o := range r.Outcomes {
			c := check{Name: fmt.Sprintf("at %v: %s", o.At, o.Words), Class: r.Script.File, Seconds: seconds(o.Took)}
			if o.Wrong != "" {
				c.Failure = &failure{o.Wrong}
			}
			s.Cases = append(s.Cases, c)
		}
		all.Tests, all.Failures = all.Tests+s.Tests, all.Failures+s.Failures
		all.Suites = append(all.Suites, s)
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	out := xml.NewEncoder(w)
	out.Indent("", "  ")
	if err := out.Encode(all); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

// WriteLines tells a person what came of a script.
func WriteLines(w io.Writer, r *Result) error {
	_, err := fmt.Fprintf(w, "%s (%s)\n", r.Script.Name, r.Script.File)
	for _, o := range r.Outcomes {
		if err != nil {
			return err
		}
		switch o.Wrong {
		case "":
			_, err = fmt.Fprintf(w, "  good   at %v: %s: after %v\n", o.At, o.Words, o.Took)
		default:
			_, err = fmt.Fprintf(w, "  WRONG  at %v: %s: %s\n", o.At, o.Words, o.Wrong)
		}
	}
	return err
}
