package sunstoker_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sunstoker/docs/pagetest"
)

var update = flag.Bool("update", false, "write the page of dependencies anew")

const dependenciesPage = "docs/dependencies.md"

// whyHere says of each module that the tree itself imports what it is for. One that
// is not needed any more goes from here and from go.mod.
var whyHere = map[string]string{
	"github.com/coreos/go-systemd/v22":       "tells the service manager that the daemon is ready, and feeds its watchdog",
	"github.com/mochi-mqtt/server/v2":        "a message broker inside of tests",
	"github.com/pb33f/libopenapi":            "reads the description of the interface in tests",
	"github.com/pb33f/libopenapi-validator":  "holds requests and answers against that description in tests",
	"github.com/pelletier/go-toml/v2":        "reads site files, strictly, with the place of every key",
	"github.com/prometheus/client_golang":    "makes the metrics",
	"github.com/prometheus/common":           "the text format of metrics, in tests",
	"github.com/prometheus/exporter-toolkit": "the tests hold the web configuration against it",
	"github.com/rogpeppe/go-internal":        "scripts that run the program in tests",
	"github.com/schollz/progressbar/v3":      "shows how far a simulated year has come, in a terminal",
	"github.com/simonvetter/modbus":          "Modbus over TCP and serial lines",
	"github.com/spf13/cobra":                 "reads command lines, completes them in shells",
	"github.com/spf13/pflag":                 "flags of those command lines",
	"go.yaml.in/yaml/v2":                     "reads the exporters' web configuration",
	"golang.org/x/crypto":                    "bcrypt of passwords",
	"golang.org/x/sys":                       "calls of the kernel: GPIO, serial lines, locks",
	"golang.org/x/term":                      "passwords that are typed are not shown; the size of a terminal",
	"modernc.org/sqlite":                     "the history, without C",
	"periph.io/x/conn/v3":                    "interfaces and stand-ins of SPI, I2C and GPIO",
	"periph.io/x/host/v3":                    "the kernel's SPI, I2C and GPIO devices",
	"pgregory.net/rapid":                     "properties that must hold whatever comes in, in tests",
	"npm axe-core":                           "looks in tests whether everybody can use the page",
	"npm esbuild":                            "puts the page together",
	"npm playwright-core":                    "drives a browser in tests",
	"npm typescript":                         "checks the page's code",
	"npm uplot":                              "draws curves; its code goes into the page",
}

// freely are licences under which code may go into the program by naming them.
var freely = []string{"MIT", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "ISC"}

// goModule is a module that some package of the tree needs.
type goModule struct {
	Path, Version, Dir string
	inProgram          bool
	direct             bool
	neededBy           map[string]bool
}

// goModules gathers the modules of all packages that program and tests are made of.
func goModules(t *testing.T) map[string]*goModule {
	t.Helper()
	modules := map[string]*goModule{}
	moduleOf := map[string]string{}
	type listedPackage struct {
		ImportPath string
		Imports    []string
		Module     *struct {
			Path, Version, Dir string
			Main               bool
		}
	}
	list := func(args ...string) (all []listedPackage) {
		cmd := exec.Command("go", append([]string{"list", "-deps", "-json=ImportPath,Imports,Module"}, args...)...)
		cmd.Env = append(os.Environ(), "GOOS=linux", "GOARCH=amd64", "CGO_ENABLED=0")
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("go list: %v", err)
		}
		for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
			var p listedPackage
			if err := dec.Decode(&p); err == io.EOF {
				return all
			} else if err != nil {
				t.Fatal(err)
			}
			p.ImportPath, _, _ = strings.Cut(p.ImportPath, " ")
			if p.Module != nil {
				all = append(all, p)
			}
		}
	}
	everything := list("-test", "./...")
	for _, p := range everything {
		moduleOf[p.ImportPath] = p.Module.Path
		if !p.Module.Main && modules[p.Module.Path] == nil {
			modules[p.Module.Path] = &goModule{Path: p.Module.Path, Version: p.Module.Version, Dir: p.Module.Dir, neededBy: map[string]bool{}}
		}
	}
	for _, p := range everything {
		for _, path := range p.Imports {
			to := modules[moduleOf[path]]
			switch {
			case to == nil || to.Path == p.Module.Path:
			case p.Module.Main:
				to.direct = true
			default:
				to.neededBy[p.Module.Path] = true
			}
		}
	}
	for _, p := range list("./cmd/sunstoker") {
		if m := modules[p.Module.Path]; m != nil {
			m.inProgram = true
		}
	}
	return modules
}

// licenceIn tells the licence of a module by the words of its file.
func licenceIn(folder string) (string, error) {
	files, err := filepath.Glob(filepath.Join(folder, "[LC][IO][CP][EY][NI][SN]*"))
	if err != nil || len(files) == 0 {
		return "", fmt.Errorf("no licence lies in %s", folder)
	}
	bytes, err := os.ReadFile(files[0])
	if err != nil {
		return "", err
	}
	text := strings.Join(strings.Fields(string(bytes)), " ")
	for _, l := range []struct{ name, words string }{
		{"Apache-2.0", "Apache License Version 2.0"},
		{"MPL-2.0", "Mozilla Public License"},
		{"MIT", "Permission is hereby granted, free of charge"},
		{"ISC", "Permission to use, copy, modify, and"},
	} {
		if strings.Contains(text, l.words) {
			return l.name, nil
		}
	}
	if strings.Contains(text, "Redistribution and use in source and binary forms") {
		if strings.Contains(text, "either the name") || strings.Contains(text, "names of its contributors may") {
			return "BSD-3-Clause", nil
		}
		return "BSD-2-Clause", nil
	}
	return "", fmt.Errorf("%s is no licence that is known here", files[0])
}

// TestDependenciesAreTold with their licences and reasons; what goes into the program
// may do so freely.
func TestDependenciesAreTold(t *testing.T) {
	modules := goModules(t)
	var program, tests strings.Builder
	for _, path := range slices.Sorted(maps.Keys(modules)) {
		m := modules[path]
		licence, err := licenceIn(m.Dir)
		if err != nil {
			t.Errorf("%s: %v", path, err)
		}
		why := "needed by " + strings.Join(slices.Sorted(maps.Keys(m.neededBy)), ", ")
		if m.direct {
			if why = whyHere[path]; why == "" {
				t.Errorf("%s is imported, and nothing says why: add it to whyHere", path)
			}
		}
		to := &tests
		if m.inProgram {
			to = &program
			if !slices.Contains(freely, licence) {
				t.Errorf("%s goes into the program under %s: ask whether it may", path, licence)
			}
		}
		fmt.Fprintf(to, "| %s | %s | %s | %s |\n", path, m.Version, licence, why)
	}
	page := dependenciesHead + "## In the program\n\n" + dependenciesColumns + program.String() +
		"\nThe Go standard library and runtime go into it too, under BSD-3-Clause.\n" +
		"\n## In tests alone\n\n" + dependenciesColumns + tests.String() +
		"\n## In the page and what builds it\n\n" + dependenciesColumns + npmPackages(t)
	for path := range whyHere {
		if name, npm := strings.CutPrefix(path, "npm "); npm && !strings.Contains(page, "| "+name+" |") || !npm && (modules[path] == nil || !modules[path].direct) {
			t.Errorf("whyHere tells of %s, which nothing needs", path)
		}
	}
	if *update {
		if err := os.WriteFile(dependenciesPage, []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if pagetest.Read(t, dependenciesPage) != page {
		t.Errorf("%s is stale; run go test . -run TestDependenciesAreTold -update and look at the change", dependenciesPage)
	}
}

// npmPackages are those of the page's lock file; builds of one tool for many machines
// count once.
func npmPackages(t *testing.T) string {
	t.Helper()
	var lock struct {
		Packages map[string]struct {
			Version, License string
			Optional         bool
		}
	}
	if err := json.Unmarshal([]byte(pagetest.Read(t, "dashboard/page/package-lock.json")), &lock); err != nil {
		t.Fatal(err)
	}
	var rows strings.Builder
	for _, path := range slices.Sorted(maps.Keys(lock.Packages)) {
		p := lock.Packages[path]
		name := strings.TrimPrefix(path, "node_modules/")
		if path == "" || p.Optional {
			continue
		}
		if p.License == "" || whyHere["npm "+name] == "" {
			t.Errorf("%s has no licence in the lock file, or nothing says why it is here", name)
		}
		fmt.Fprintf(&rows, "| %s | %s | %s | %s |\n", name, p.Version, p.License, whyHere["npm "+name])
	}
	return rows.String()
}

const dependenciesHead = `# What the program is made of besides its own code

Every module with its licence and the reason that it is here. The page is made of the import graph, of the licence files and of ` + "`package-lock.json`" + `
by ` + "`go test . -run TestDependenciesAreTold -update`" + `; the test fails when it is stale, when nothing says why a module is here, and
when one under a licence that asks for more than being named goes into the program. The packages bring the licences word by word
(` + "`notices-of-others.gz`" + `, by ` + "`deploy/package/build`" + `).

`

const dependenciesColumns = "| Module | Version | Licence | Why it is here |\n| --- | --- | --- | --- |\n"
