package main

import (
	"net"
	"os"
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
		Setup: func(env *testscript.Env) error {
			address, err := freeAddress()
			env.Setenv("FREE", address)
			return err
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"record": record,
			"fill":   fill,
		},
	})
}

// freeAddress is an address of this machine where nobody listens.
func freeAddress() (string, error) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", err
	}
	return listener.Addr().String(), listener.Close()
}

// record FOLDER IDENTITY CELSIUS lets a probe answer in a folder like the
// kernel's.
func record(ts *testscript.TestScript, _ bool, args []string) {
	tempC, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	ts.Check(wiretree.Tree{Root: ts.MkAbs(args[0])}.PutC(args[1], tempC))
}

// fill FILE puts the script's folder in the place of $WORK.
func fill(ts *testscript.TestScript, _ bool, args []string) {
	text := strings.ReplaceAll(ts.ReadFile(args[0]), "$WORK", ts.Getenv("WORK"))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o644))
}
