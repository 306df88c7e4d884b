package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"sunstoker/dashboard"
	"sunstoker/physics"
	"sunstoker/sensors/sensorstest"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
)

// wholeSite is the site of the end-to-end test: real kinds of probe and
// output, on folders of the test.
const wholeSite = `
name = "Test house"
[place]
latitude = "45 °"
longitude = "8 °"
altitude = "250 m"
time_zone = "Europe/Rome"
coldest = "-10 °C"
[daemon]
state_folder = "%[1]s/state"
outputs_tested_by = "a test"
listen = "127.0.0.1:0"
[one_wire]
folder = "%[2]s"
[probe.outdoor_air]
kind = "one-wire"
identity = "28-00000c000001"
[[system]]
name = "roof"
loop = "pumped"
fluid = "water"
loop_pressure = "2 bar"
loop_flow = "4 l/min"
[system.collector]
area = "4 m²"
tilt = "60 °"
direction = "180 °"
optical_efficiency = "78 %%"
loss = "3.8 W/(m² K)"
loss_growth = "0.012 W/(m² K²)"
[system.tank]
volume = "300 l"
loss = "2.2 W/K"
tempering_valve = "50 °C"
[system.heater]
power = "2 kW"
cut_out = "85 °C"
[system.probe.collector]
kind = "one-wire"
identity = "28-00000c000002"
[system.probe.tank_top]
kind = "one-wire"
identity = "28-00000c000003"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "28-00000c000004"
[system.output.loop_pump]
kind = "level file"
file = "%[1]s/pump"
[system.output.backup_heater]
kind = "level file"
file = "%[1]s/heater"
drops_when_silent = true
`

var wholeProbes = []struct{ identity, place string }{
	{"28-00000c000001", "outdoor_air"},
	{"28-00000c000002", "collector"},
	{"28-00000c000003", "tank_top"},
	{"28-00000c000004", "tank_bottom"},
}

// wholeStep is how far the daemon runs on its own between two looks at the
// plant. A probe follows its pocket with a time constant well above it.
const wholeStep = 20 * time.Second

// whole is the real program on a simulated plant: the plant writes the probes'
// records into a folder like the kernel's and reads the outputs' files.
type whole struct {
	t      *testing.T
	tree   *sensorstest.Tree
	folder string
	house  *sim.House
	probes []*sim.Probe
	gone   map[string]bool // identities of probes that were pulled out

	cmd     *exec.Cmd
	orders  io.WriteCloser
	answers *bufio.Scanner
	page    string
	log     *strings.Builder
	logDone chan struct{}

	changes []string // every level change of an output, as it was recorded
	levels  map[string]string
	since   map[string]time.Time
}

// winterDay is a clear cold day after a clear frosty night, with an overcast
// afternoon. Times are solar.
func winterDay(t *testing.T) weather.Source {
	w, err := weather.NewScripted(weather.Place{LatitudeDeg: 45, LongitudeDeg: 8, AltitudeM: 250}, []weather.Moment{
		{At: 0, Cover: 0, AirC: -4},
		{At: 6 * time.Hour, Cover: 0, AirC: -7},
		{At: 9 * time.Hour, Cover: 0, AirC: 1},
		{At: 13 * time.Hour, Cover: 0, AirC: 8},
		{At: 13*time.Hour + 30*time.Minute, Cover: 1, AirC: 7},
		{At: 20 * time.Hour, Cover: 0, AirC: 1},
	})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func newWhole(t *testing.T, start time.Time) *whole {
	t.Helper()
	w := &whole{
		t: t, tree: sensorstest.NewTree(t), folder: t.TempDir(), gone: map[string]bool{},
		levels: map[string]string{"pump": "0", "heater": "0"}, since: map[string]time.Time{}, log: &strings.Builder{},
	}
	profile, err := household.TappingProfile("M")
	if err != nil {
		t.Fatal(err)
	}
	p := plant.Typical()
	p.Fluid, p.StartC, p.TemperingC, p.CutOutC = physics.Water(), 20, 50, 85
	zone, err := time.LoadLocation("Europe/Rome")
	if err != nil {
		t.Fatal(err)
	}
	w.house, err = sim.New(sim.Config{
		Weather: winterDay(t), Start: start, Zone: zone, Household: profile, RoomC: 15, Albedo: 0.2, StepSize: 5 * time.Second,
		Systems: []sim.System{{Name: "roof", Plant: p, Plane: physics.Plane{TiltDeg: 60, AzimuthDeg: 180}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, pr := range wholeProbes {
		probe, err := w.house.AddProbe(sim.ProbeConfig{
			Name: pr.identity, Place: pr.place, Lag: 40 * time.Second, NoiseK: 0.03, StepK: sim.UsualStepK, Seed: uint64(i),
		})
		if err != nil {
			t.Fatal(err)
		}
		w.probes = append(w.probes, probe)
	}
	for name := range w.levels {
		if err := os.WriteFile(filepath.Join(w.folder, name), []byte("1\n"), 0o644); err != nil {
			t.Fatal(err) // on before the start: the daemon must drive it off
		}
	}
	w.writeRecords()
	w.start()
	return w
}

// start builds and starts the real program.
func (w *whole) start() {
	binary := filepath.Join(w.folder, "sunstoker")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		w.t.Fatalf("go build: %v\n%s", err, out)
	}
	siteFile := filepath.Join(w.folder, "site.toml")
	if err := os.WriteFile(siteFile, fmt.Appendf(nil, wholeSite, w.folder, w.tree.Root), 0o644); err != nil {
		w.t.Fatal(err)
	}
	w.cmd = exec.Command(binary, "run", "--lockstep", "--allow-root", siteFile)
	stdout, err := w.cmd.StdoutPipe()
	w.must(err)
	stderr, err := w.cmd.StderrPipe()
	w.must(err)
	w.orders, err = w.cmd.StdinPipe()
	w.must(err)
	w.must(w.cmd.Start())
	w.answers = bufio.NewScanner(stdout)
	pages := make(chan string, 1)
	w.logDone = make(chan struct{})
	go w.readLog(stderr, pages)
	w.t.Cleanup(func() { _ = w.cmd.Process.Kill() })
	w.ready()
	select {
	case w.page = <-pages:
	case <-w.logDone:
		w.t.Fatalf("the program ended:\n%s", w.log)
	}
}

var pageAddress = regexp.MustCompile(`page=(http://[^ ]+)`)

func (w *whole) readLog(stderr io.Reader, pages chan<- string) {
	defer close(w.logDone)
	for lines := bufio.NewScanner(stderr); lines.Scan(); {
		fmt.Fprintln(w.log, lines.Text())
		if m := pageAddress.FindStringSubmatch(lines.Text()); m != nil {
			pages <- m[1]
		}
	}
}

func (w *whole) must(err error) {
	w.t.Helper()
	if err != nil {
		w.t.Fatal(err)
	}
}

func (w *whole) ready() {
	w.t.Helper()
	if !w.answers.Scan() || w.answers.Text() != "ready" {
		w.t.Fatalf("the program answered %q, %v", w.answers.Text(), w.answers.Err())
	}
}

func (w *whole) writeRecords() {
	for i, pr := range wholeProbes {
		if value, ok := w.probes[i].Read(w.house.Elapsed()); ok && !w.gone[pr.identity] {
			w.tree.PutC(pr.identity, value)
		}
	}
}

// until runs plant and program on to a wall time.
func (w *whole) until(wall time.Time) {
	w.t.Helper()
	for w.house.Now().Before(wall) {
		w.house.Step(wholeStep)
		w.writeRecords()
		fmt.Fprintf(w.orders, "advance %s %s trusted\n", w.house.Elapsed(), w.house.Now().Format(time.RFC3339))
		w.ready()
		w.takeLevels()
	}
}

// takeLevels lets the outputs' files drive the plant, and records changes.
func (w *whole) takeLevels() {
	w.t.Helper()
	for _, name := range []string{"pump", "heater"} {
		data, err := os.ReadFile(filepath.Join(w.folder, name))
		w.must(err)
		level := strings.TrimSpace(string(data))
		if now := w.house.Now(); level != w.levels[name] {
			if last, ok := w.since[name]; ok && now.Sub(last) < time.Minute {
				w.t.Errorf("%s: %s switched %v after the last change", now.Format("15:04:05"), name, now.Sub(last))
			}
			w.changes = append(w.changes, fmt.Sprintf("%s %s %s", now.Format("15:04:05"), name, level))
			w.levels[name], w.since[name] = level, now
		}
	}
	w.house.SetPump(0, map[string]float64{"1": 1}[w.levels["pump"]])
	w.house.SetHeater(0, w.levels["heater"] == "1")
}

// pull takes a probe off its cable: the kernel's folder for it vanishes.
func (w *whole) pull(identity string) {
	w.gone[identity] = true
	w.tree.Remove(identity)
}

func (w *whole) putBack(identity string) { delete(w.gone, identity) }

func (w *whole) now() dashboard.Now {
	w.t.Helper()
	resp, err := http.Get(w.page + "api/now")
	w.must(err)
	defer resp.Body.Close()
	var answer dashboard.Answer
	var now dashboard.Now
	w.must(json.NewDecoder(resp.Body).Decode(&answer))
	w.must(json.Unmarshal(answer.Now, &now))
	return now
}

// stop ends the program as the service manager does.
func (w *whole) stop() {
	w.t.Helper()
	w.must(w.cmd.Process.Signal(syscall.SIGTERM))
	<-w.logDone
	w.must(w.cmd.Wait())
}

// moment is a line of the test's table: what is to be seen at a time, and what
// is done to the plant then.
type moment struct {
	at                time.Time
	pump, pumpSays    string // empty where it comes and goes by the minute
	heater, heaterSay string
	finding           string // the one finding there is, by its kind; empty for none
	then              func(*whole)
}

const collectorProbe = "28-00000c000002"

// TestWholeProgram takes the real program through a sunny winter morning, an
// overcast evening of draws, a frosty night, and a probe that is pulled out and
// put back, with a loop of plain water. The table says what pump and heater do,
// and why.
func TestWholeProgram(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the real program through 30 hours")
	}
	zone, err := time.LoadLocation("Europe/Rome")
	if err != nil {
		t.Fatal(err)
	}
	at := func(day, hour, minute int) time.Time { return time.Date(2026, 1, day, hour, minute, 0, 0, zone) }
	w := newWhole(t, at(12, 8, 0))
	for _, m := range []moment{
		// The tank, 20 °C, is below the floor at any time; the sun is low yet.
		{at(12, 8, 20), "0", "loop_no_gain", "1", "heater_floor", "", nil},
		{at(12, 12, 0), "1", "loop_gains", "0", "heater_outside_windows", "", nil},
		{at(12, 16, 30), "0", "loop_no_gain", "0", "heater_outside_windows", "", nil},
		// The evening window opens at 17:00 on a tank of some 43 °C.
		{at(12, 17, 1), "0", "loop_no_gain", "1", "heater_cold", "", nil},
		{at(12, 17, 30), "0", "loop_no_gain", "1", "heater_heating", "", nil},
		{at(12, 19, 0), "0", "loop_no_gain", "0", "heater_warm", "", nil},
		// A clear night: the tank's warmth keeps the roof from freezing, by short
		// runs at first and then without a break.
		{at(13, 5, 30), "", "", "0", "heater_warm", "", nil},
		{at(13, 7, 55), "1", "frost_circulation", "0", "heater_outside_windows", "", nil},
		{at(13, 11, 30), "1", "loop_gains", "0", "heater_outside_windows", "",
			func(w *whole) { w.pull(collectorProbe) }},
		// The last good value stands in for half a minute, no longer.
		{at(13, 11, 30).Add(20 * time.Second), "1", "loop_gains", "0", "heater_outside_windows", "", nil},
		{at(13, 11, 31), "0", "loop_no_collector", "0", "heater_outside_windows", "", nil},
		{at(13, 12, 0), "0", "loop_no_collector", "0", "heater_outside_windows", "probe_silent",
			func(w *whole) { w.putBack(collectorProbe) }},
		{at(13, 12, 10), "1", "loop_gains", "0", "heater_outside_windows", "", nil},
	} {
		w.until(m.at)
		w.expect(m)
		if m.then != nil {
			m.then(w)
		}
	}
	if hours := w.house.Tally(0).FreezingS / 3600; hours > 0 {
		t.Errorf("the collector was below freezing for %.1f h", hours)
	}
	w.stop()
	for _, name := range []string{"pump", "heater"} {
		if data, err := os.ReadFile(filepath.Join(w.folder, name)); err != nil || strings.TrimSpace(string(data)) != "0" {
			t.Errorf("after the end the %s's file holds %q, %v", name, data, err)
		}
	}
	if t.Failed() {
		t.Logf("switched:\n%s\nlog:\n%s", strings.Join(w.changes, "\n"), w.log)
	}
}

// expect holds the outputs' files and the page's reasons against the table.
func (w *whole) expect(m moment) {
	w.t.Helper()
	now := w.now()
	clock := m.at.Format("Jan 2 15:04:05")
	for _, o := range now.Systems[0].Outputs {
		file, level, says := "pump", m.pump, m.pumpSays
		if o.Actuator == "backup_heater" {
			file, level, says = "heater", m.heater, m.heaterSay
		}
		if says == "" {
			continue
		}
		if w.levels[file] != level || o.Reason.Key != says {
			w.t.Errorf("%s: %s is %s because %q, want %s because %q", clock, o.Words, w.levels[file], o.Reason.Text, level, says)
		}
	}
	var kinds []string
	for _, f := range now.Findings {
		kinds = append(kinds, f.Kind)
	}
	if got := strings.Join(kinds, " "); got != m.finding {
		w.t.Errorf("%s: findings %q, want %q", clock, got, m.finding)
	}
}
