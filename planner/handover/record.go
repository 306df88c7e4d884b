package handover

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"time"
)

// Outcome is what came of a step.
type Outcome uint8

// The outcomes.
const (
	Unanswered Outcome = iota
	Done               // confirmed, or measured and in order
	NotProven          // tried, and nothing can be said; come back
	Skipped            // left out, with a reason
	Fault              // something is wrong
)

var outcomeWords = [...]string{"open", "in order", "not proven", "left out", "wrong"}

// String is the outcome in words.
func (o Outcome) String() string { return outcomeWords[o] }

// MarshalText is the outcome as the record writes it.
func (o Outcome) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// UnmarshalText reads an outcome of a record.
func (o *Outcome) UnmarshalText(text []byte) error {
	i := slices.Index(outcomeWords[:], string(text))
	if i < 0 {
		return fmt.Errorf("%.20q is no outcome of a step", text)
	}
	*o = Outcome(i)
	return nil
}

// Answer is what came of one step.
type Answer struct {
	Step    string  `json:"step"` // its key
	Outcome Outcome `json:"outcome"`
	Said    string  `json:"said"`           // by the person, as it was typed
	Seen    string  `json:"seen,omitempty"` // by the program, or what it makes of a figure
	// Value is a measured figure in the unit of the step; nil when there is none.
	Value *float64 `json:"value,omitempty"`
	// About is what the answer holds for: see [Step.About].
	About string `json:"about,omitempty"`
	// At is the time on the board's clock; zero when that was not set.
	At     time.Time `json:"at,omitzero"`
	Photos []Photo   `json:"photos,omitempty"`
}

// Photo is a picture of the plant by its file.
type Photo struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
	Bytes  int64  `json:"bytes"`
}

// Record is what was answered so far at one site. The nil record is an empty one.
type Record struct {
	Site    string   `json:"site"` // its name
	Answers []Answer `json:"answers"`
	// Simulated says that everything was tried on a simulated plant, which proves
	// nothing of a real one.
	Simulated bool `json:"simulated,omitempty"`
	// Signed is the fingerprint of the answers that the installer has signed; empty
	// when nobody has.
	Signed string `json:"signed,omitempty"`
}

// Read reads a record.
func Read(text []byte) (*Record, error) {
	var r Record
	if err := json.Unmarshal(text, &r); err != nil {
		return nil, err
	}
	seen := map[string]bool{}
	for _, a := range r.Answers {
		if a.Step == "" || seen[a.Step] {
			return nil, fmt.Errorf("it answers the step %q without a name or twice", a.Step)
		}
		seen[a.Step] = true
	}
	return &r, nil
}

// Write gives the record as JSON.
func (r *Record) Write() ([]byte, error) { return json.MarshalIndent(r, "", "  ") }

// Put takes up an answer in the place of an older one to the same step.
func (r *Record) Put(a Answer) {
	if i := r.index(a.Step); i >= 0 {
		r.Answers[i] = a
		return
	}
	r.Answers = append(r.Answers, a)
}

func (r *Record) index(step string) int {
	if r == nil {
		return -1
	}
	return slices.IndexFunc(r.Answers, func(a Answer) bool { return a.Step == step })
}

// Of is the answer to a step, with outcome [Unanswered] when there is none or it
// is about something that is no longer so.
func (r *Record) Of(s *Step) Answer {
	i := r.index(s.Key)
	if i < 0 || r.Answers[i].About != s.About {
		return Answer{Step: s.Key}
	}
	return r.Answers[i]
}

// Outdated tells of a step that was answered, about something that has changed
// since.
func (r *Record) Outdated(s *Step) bool {
	i := r.index(s.Key)
	return i >= 0 && r.Answers[i].About != s.About
}

// Sign notes that the installer stands for the answers as they are.
func (r *Record) Sign() error {
	sum, err := r.fingerprint()
	if err == nil {
		r.Signed = sum
	}
	return err
}

// IsSigned tells whether the answers are still those that were signed.
func (r *Record) IsSigned() bool {
	if r == nil || r.Signed == "" {
		return false
	}
	sum, err := r.fingerprint()
	return err == nil && sum == r.Signed
}

func (r *Record) fingerprint() (string, error) {
	text, err := json.Marshal(r.Answers)
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), err
}
