package handover

import "testing"

// FuzzAnswers: whatever a file holds, it is answers to steps of the site, or mistakes.
func FuzzAnswers(f *testing.F) {
	for _, text := range []string{"installer: A. Rossi\nsignature: A. Rossi\n", "cut-out: 90 °C\ncut-out:", ":", "tank full: skip because", "# x\n\xff: \x00"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s := house(t)
		answers, err := ReadAnswers("fuzz", []byte(text), s)
		if err != nil {
			return
		}
		steps := Steps(s)
		r := &Record{}
		for key, answer := range answers {
			step, known := Named(steps, key)
			if !known || answer == "" {
				t.Fatalf("%q: %q", key, answer)
			}
			if step.Form == Sign || step.judge != nil {
				continue // by what was answered before
			}
			if _, err := step.Understand(r, answer); err != nil {
				t.Fatal(err)
			}
		}
	})
}
