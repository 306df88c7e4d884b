package sunstoker_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"sunstoker/docs/pagetest"
)

const provisionsPage = "deploy/security-provisions.md"

// TestEveryProvisionIsAnswered: each row names tests or files that exist, or says
// why it is not applicable, or that it is not met.
func TestEveryProvisionIsAnswered(t *testing.T) {
	known := map[string]map[string]bool{}
	fileName := regexp.MustCompile("`([\\w./-]+\\.(?:md|service))`")
	rows := 0
	for line := range strings.Lines(pagetest.Read(t, provisionsPage)) {
		cells := strings.Split(line, "|")
		if len(cells) != 5 || strings.HasPrefix(line, "| ---") || strings.HasPrefix(line, "| Provision ") {
			continue
		}
		rows++
		answer := strings.TrimSpace(cells[3])
		tests, files := testName.FindAllStringSubmatch(answer, -1), fileName.FindAllStringSubmatch(answer, -1)
		excused := strings.HasPrefix(answer, "not applicable because ") || strings.HasPrefix(answer, "not met: ")
		if len(tests)+len(files) == 0 && !excused {
			t.Errorf("no test, no file and no reason: %s", line)
		}
		if strings.Count(answer, "`") != 2*(len(tests)+len(files)) {
			t.Errorf("something is quoted in another way than `folder.TestName` or a file: %s", line)
		}
		for _, named := range tests {
			folder := named[1]
			if folder == module {
				folder = "."
			}
			if known[folder] == nil {
				known[folder] = pagetest.Functions(t, folder)
			}
			if !known[folder][named[2]] {
				t.Errorf("%s names %s.%s, and there is no such test", provisionsPage, named[1], named[2])
			}
		}
		for _, named := range files {
			if _, err := os.Stat(named[1]); err != nil {
				t.Errorf("%s names a file: %v", provisionsPage, err)
			}
		}
	}
	if rows < 50 {
		t.Errorf("%s has %d rows; has its table another form now?", provisionsPage, rows)
	}
}
