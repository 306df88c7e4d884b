package main

import (
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"testing"
)

var initTrace = regexp.MustCompile(`(?m)^init (sunstoker\S*) @.* (\d+) bytes,`)

// TestAStartIsLight: what stands ready for every command is made again with every
// start, also when the guard comes back or the stop hook has to switch a heater
// off on a slow board. Years of weather are read by those who want them.
func TestAStartIsLight(t *testing.T) {
	const most = 1 << 20 // bytes a package
	start := exec.Command(os.Args[0], "-test.run=^$")
	start.Env = append(os.Environ(), "GODEBUG=inittrace=1")
	told, err := start.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, told)
	}
	rooms := initTrace.FindAllSubmatch(told, -1)
	if len(rooms) < 3 {
		t.Fatalf("the runtime tells of %d rooms; does it write them in another way now?\n%s", len(rooms), told)
	}
	for _, room := range rooms {
		if bytes, err := strconv.Atoi(string(room[2])); err != nil || bytes > most {
			t.Errorf("%s takes %s bytes at every start; make it when it is asked for (sync.OnceValue)", room[1], room[2])
		}
	}
}
