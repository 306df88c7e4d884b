package control

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"time"
)

// Reason is a sentence with its figures, kept as data so that the page, the
// log, the metrics and the tests all read the same one, and so that nothing is
// formatted before somebody looks.
type Reason struct {
	Words  Words
	Values [3]float64 // in the units that the sentence names
}

// because makes a reason. It is written so that the compiler puts it in line,
// which copy would forbid: a step makes some ten reasons.
func because(w Words, values ...float64) (r Reason) {
	r.Words = w
	switch len(values) {
	case 1:
		r.Values[0] = values[0]
	case 2:
		r.Values[0], r.Values[1] = values[0], values[1]
	case 3:
		r.Values = [3]float64(values)
	}
	return r
}

// seconds is what Duration.Seconds gives to within a nanosecond in a month,
// without its division: a step needs some ten of them.
func seconds(d time.Duration) float64 { return float64(d) * 1e-9 }

// String gives the sentence in English with its figures filled in.
func (r Reason) String() string { return r.Words.fill(r.Values) }

// MarshalJSON gives the sentence, its key and its figures.
func (r Reason) MarshalJSON() ([]byte, error) {
	out := struct {
		Key    string     `json:"key"`
		Text   string     `json:"text"`
		Values [3]float64 `json:"values"`
	}{Key: r.Words.Key(), Text: r.String()}
	for i, v := range r.Values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			out.Values[i] = v
		}
	}
	return json.Marshal(out)
}

func (w Words) fill(values [3]float64) string { return Fill(w.Template(), values) }

// Fill replaces {0 °C} and the like in a sentence by the value with that number.
func Fill(text string, values [3]float64) string {
	var b strings.Builder
	for {
		open := strings.IndexByte(text, '{')
		if open < 0 {
			b.WriteString(text)
			return b.String()
		}
		end := strings.IndexByte(text[open:], '}')
		if end < 2 {
			b.WriteString(text)
			return b.String()
		}
		b.WriteString(text[:open])
		b.WriteString(figure(values[(text[open+1]-'0')%3], strings.TrimSpace(text[open+2:open+end])))
		text = text[open+end+1:]
	}
}

// figure writes a value with its unit as a person would: tenths of a degree,
// whole seconds, minutes or hours.
func figure(v float64, unit string) string {
	if math.Abs(v) >= 1e6 && unit != "time" {
		return strconv.FormatFloat(v, 'g', 3, 64) + " " + unit
	}
	if v > -0.05 && v < 0 {
		v = 0 // no "-0.0"
	}
	switch unit {
	case "time":
		return span(v)
	case "clock":
		return clock(int(v) % dayMinutes)
	case "W":
		return strconv.FormatFloat(v, 'f', 0, 64) + " W"
	case "figure":
		return strconv.FormatFloat(v, 'f', 1, 64)
	case "":
		return strconv.FormatFloat(v, 'f', 0, 64)
	default:
		return strconv.FormatFloat(v, 'f', 1, 64) + " " + unit
	}
}

// wholeUp rounds up, but for the trace by which [seconds] may be too large: 2 min
// are not 3.
func wholeUp(v float64) float64 {
	const trace = 1e-6
	return math.Ceil(v-trace) + 0 // no "-0"
}

// span writes seconds as "40 s", "12 min", "3.5 h" or "7.0 days".
func span(seconds float64) string {
	switch {
	case math.Abs(seconds) < 90:
		return strconv.FormatFloat(wholeUp(seconds), 'f', 0, 64) + " s"
	case math.Abs(seconds) < 90*60:
		return strconv.FormatFloat(wholeUp(seconds/60), 'f', 0, 64) + " min"
	case math.Abs(seconds) < 72*3600:
		return strconv.FormatFloat(seconds/3600, 'f', 1, 64) + " h"
	default:
		return strconv.FormatFloat(seconds/86400, 'f', 1, 64) + " days"
	}
}

// UnmarshalJSON reads what MarshalJSON wrote. A key that this version does not
// know leaves the reason empty: it is only a sentence.
func (r *Reason) UnmarshalJSON(data []byte) error {
	var in struct {
		Key    string     `json:"key"`
		Values [3]float64 `json:"values"`
	}
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	r.Words, _ = wordsOf(in.Key)
	r.Values = in.Values
	return nil
}
