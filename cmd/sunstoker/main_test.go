package main

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"sunstoker/sensors/wiretree"
)

// TestMain lets scripts call the program as "sunstoker".
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"sunstoker": main})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"record": record,
			"fill":   fill,
		},
	})
}

// record FOLDER IDENTITY CELSIUS lets a probe answer in a folder like the
// kernel's.
func record(ts *testscript.TestScript, _ bool, args []string) {
	tempC, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	path := filepath.Join(ts.MkAbs(args[0]), args[1], "w1_slave")
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o755))
	text := wiretree.RecordText(wiretree.RecordBytes(int16(math.Round(tempC*16)), 0x7F, 0x10))
	ts.Check(os.WriteFile(path, []byte(text), 0o644))
}

// fill FILE puts the script's folder in the place of $WORK.
func fill(ts *testscript.TestScript, _ bool, args []string) {
	text := strings.ReplaceAll(ts.ReadFile(args[0]), "$WORK", ts.Getenv("WORK"))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o644))
}
