package station

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/site"
	"sunstoker/station/request"
)

// deskSite is the rig's house as a site file.
const deskSite = `name = "test house"
[place]
latitude = "45 °"
longitude = "8 °"
altitude = "250 m"
time_zone = "UTC"
coldest = "-12 °C"

[settings]
tank_limit = "68 °C" # the valve is an old one

[[system]]
name = "roof"
loop = "pumped"
fluid = "propylene glycol"
antifreeze = "40 %"
loop_pressure = "2.0 bar"
loop_flow = "4 l/min"
[system.collector]
area = "4 m²"
tilt = "40 °"
direction = "180 °"
optical_efficiency = "78 %"
loss = "3.8 W/(m² K)"
loss_growth = "0.012 W/(m² K²)"
[system.tank]
volume = "200 l"
loss = "1.9 W/K"
tempering_valve = "50 °C"
[system.heater]
power = "2 kW"
cut_out = "90 °C"
[system.probe.collector]
kind = "simulated"
[system.probe.tank_top]
kind = "simulated"
[system.probe.tank_bottom]
kind = "simulated"
[system.output.loop_pump]
kind = "simulated"
[system.output.backup_heater]
kind = "simulated"
`

// newDeskRig is a rig with a desk, whose house stands in a site file.
func newDeskRig(t *testing.T, folder, text string) *rig {
	t.Helper()
	s, err := site.Parse("house.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r := newRig(t)
	r.options.Plan, r.options.Desk, r.options.StateFolder = s.Plan, NewDesk(s), folder
	return r
}

type asked struct {
	answer *request.Answer
	err    error
}

// ask lays a request on the desk, lets a tick pass when it waits for one, and
// gives what was answered.
func (r *rig) ask(q request.Request) (*request.Answer, error) {
	r.t.Helper()
	done := make(chan asked, 1)
	go func() {
		a, err := r.options.Desk.Ask(context.Background(), "the installer", q)
		done <- asked{a, err}
	}()
	for {
		select {
		case got := <-done:
			return got.answer, got.err
		default:
			if len(r.options.Desk.tickets) > 0 {
				r.to(r.clock.Now() + time.Second)
			}
			runtime.Gosched()
		}
	}
}

// grant is ask for a request that must be taken.
func (r *rig) grant(q request.Request, words string) *request.Answer {
	r.t.Helper()
	a, err := r.ask(q)
	if err != nil {
		r.t.Fatalf("%+v: %v", q, err)
	}
	if !strings.Contains(a.Words, words) {
		r.t.Errorf("%+v is answered %q, without %q", q, a.Words, words)
	}
	return a
}

// refuse is ask for a request that must not be taken.
func (r *rig) refuse(q request.Request, kind request.RefusalKind, words string) {
	r.t.Helper()
	_, err := r.ask(q)
	var refusal *request.Refusal
	if !errors.As(err, &refusal) || refusal.Kind != kind || !strings.Contains(refusal.Words, words) {
		r.t.Errorf("%+v is answered %v, want a refusal of kind %d with %q", q, err, kind, words)
	}
}

// expectOutput looks at an output of an answer.
func expectOutput(t *testing.T, a *request.Answer, output int, level float64, why control.Words) {
	t.Helper()
	if o := a.Tick.Outputs[output]; o.Level != level || o.Reason.Words != why {
		t.Errorf("output %d is at %g because %s, want %g by %s", output, o.Level, o.Reason, level, why.Key())
	}
}

// TestARequestIsAnsweredByTheTickThatTakesIt: each request reaches the
// controller, is answered with what the outputs make of it, and ends.
func TestARequestIsAnsweredByTheTickThatTakesIt(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	r.start()
	r.to(3 * time.Minute)
	a := r.grant(request.Boost{Length: 2 * time.Hour}, "Hot water now is asked of roof: its backup heater heats to 52 °C, for 2 h at most.")
	expectOutput(t, a, heaterAt, 1, control.SaysBoost)
	if left := a.Tick.Systems[0].BoostLeft; left <= 0 || left > 2*time.Hour {
		t.Errorf("the boost lasts another %v", left)
	}
	if got := a.Tick.Asked; len(got) != 1 || got[0].By != "the installer" || got[0].Words != a.Words || got[0].Refused {
		t.Errorf("the tick keeps %+v", got)
	}
	if r.outputs[heaterAt].Level() != 1 || !strings.Contains(r.log.String(), "who=\"the installer\"") {
		t.Error("the heater is not driven on, or the log does not tell who asked")
	}
	a = r.grant(request.Boost{}, "no longer asked")
	if a.Tick.Systems[0].BoostLeft != 0 {
		t.Error("the boost goes on")
	}
	a = r.grant(request.Override{Output: pumpAt, Level: 1, Length: time.Hour}, "The loop pump of roof is set by hand to on for 1 h; protections still come first.")
	expectOutput(t, a, pumpAt, 1, control.SaysOverride)
	a = r.grant(request.Override{Output: pumpAt}, "no longer set by hand")
	if a.Tick.Outputs[pumpAt].Override.Left != 0 {
		t.Error("the override goes on")
	}
	a = r.grant(request.Holiday{Length: 14 * 24 * time.Hour}, "holiday of 14 d")
	if a.Tick.HolidayLeft < 13*24*time.Hour {
		t.Errorf("the holiday lasts another %v", a.Tick.HolidayLeft)
	}
	r.grant(request.Holiday{}, "has ended")
	a = r.grant(request.Servicing{On: true}, "frost protection too")
	expectOutput(t, a, heaterAt, 0, control.SaysServicing)
	if !a.Tick.Servicing {
		t.Error("the tick does not tell of the service state")
	}
	if a = r.grant(request.Servicing{}, "has ended"); a.Tick.Servicing {
		t.Error("the service state goes on")
	}
}

// TestProtectionsOutrankWhatAPersonAsks, and the answer says so.
func TestProtectionsOutrankWhatAPersonAsks(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	for _, at := range []int{tankTopAt, tankBottomAt} {
		r.probes[at].set(69)
	}
	r.start()
	r.to(3 * time.Minute)
	a := r.grant(request.Override{Output: heaterAt, Level: 1, Length: time.Hour}, "by hand")
	expectOutput(t, a, heaterAt, 0, control.SaysHeaterTankFull)
	a = r.grant(request.Boost{Length: time.Hour}, "asked of roof")
	expectOutput(t, a, heaterAt, 0, control.SaysHeaterTankFull)
	r.probes[tankTopAt].mu.Lock()
	r.probes[tankTopAt].fault = errors.New("no answer")
	r.probes[tankTopAt].mu.Unlock()
	r.to(5 * time.Minute)
	a = r.grant(request.Override{Output: heaterAt, Level: 1, Length: time.Hour}, "by hand")
	if o := a.Tick.Outputs[heaterAt]; o.Level != 0 || o.Rank != control.Protect {
		t.Errorf("without a tank top the heater is at %g by %s", o.Level, o.Rank)
	}
}

func TestRequestsThatCantBeAreRefused(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	r.start()
	r.refuse(request.Boost{System: 1, Length: time.Hour}, request.Impossible, "There is no system 1; there are 1.")
	r.refuse(request.Boost{Length: 5 * time.Hour}, request.Impossible, "A boost must end within 4 h, not after 5 h.")
	r.refuse(request.Holiday{Length: -1}, request.Impossible, "before it has begun")
	r.refuse(request.Override{Output: 7, Level: 1, Length: time.Hour}, request.Impossible, "no output 7")
	r.refuse(request.Override{Output: pumpAt, Level: 0.5, Length: time.Hour}, request.Impossible, "The loop pump of roof can only be on or off, not at 50 %.")
	r.refuse(nil, request.Impossible, "Nobody here knows")
	if got := r.kept.last().Asked; len(got) != 1 || !got[0].Refused {
		t.Errorf("the tick keeps %+v of a refusal", got)
	}
}

// TestARequestNobodyComesToIsWithdrawn: who asked and went away again has asked
// for nothing, and those in the queue behind are told when it is full.
func TestARequestNobodyComesToIsWithdrawn(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	r.start() // and time stands still
	ctx, cancel := context.WithCancel(context.Background())
	answers := make(chan asked, deskPlaces)
	for range deskPlaces {
		go func() {
			a, err := r.options.Desk.Ask(ctx, "somebody", request.Boost{Length: time.Hour})
			answers <- asked{a, err}
		}()
	}
	for len(r.options.Desk.tickets) < deskPlaces {
		runtime.Gosched()
	}
	r.refuseBusy(context.Background(), request.Holiday{Length: time.Hour}, "Too many requests")
	cancel()
	for range deskPlaces {
		var refusal *request.Refusal
		if got := <-answers; !errors.As(got.err, &refusal) || refusal.Kind != request.Busy || !strings.Contains(refusal.Words, "withdrawn") {
			t.Errorf("answered %v", got.err)
		}
	}
	r.to(time.Second)
	if left := r.kept.last().Systems[0].BoostLeft; left != 0 {
		t.Errorf("a boost of %v was asked for by nobody", left)
	}
	r.grant(request.Holiday{Length: time.Hour}, "begins") // and there is room again
}

func (r *rig) refuseBusy(ctx context.Context, q request.Request, words string) {
	r.t.Helper()
	_, err := r.options.Desk.Ask(ctx, "somebody", q)
	var refusal *request.Refusal
	if !errors.As(err, &refusal) || refusal.Kind != request.Busy || !strings.Contains(refusal.Words, words) {
		r.t.Errorf("%+v is answered %v, want %q", q, err, words)
	}
}

// TestOneChangeOfSettingsAtATime: the next one waits, for no longer than it
// wants to.
func TestOneChangeOfSettingsAtATime(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	r.start()
	first := make(chan asked, 1)
	go func() {
		a, err := r.options.Desk.Ask(context.Background(), "somebody", request.Settings{Values: map[string]string{"tap_temperature": "41 °C"}})
		first <- asked{a, err}
	}()
	for len(r.options.Desk.tickets) == 0 {
		runtime.Gosched()
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r.refuseBusy(ctx, request.Settings{Values: map[string]string{"tap_temperature": "42 °C"}}, "Another change of settings is under way")
	r.to(time.Second)
	if got := <-first; got.err != nil {
		t.Error(got.err)
	}
	if got := r.kept.last().House.Plan.Systems[0].Settings.TapC; got != 41 {
		t.Errorf("taps want %g °C", got)
	}
}

// TestWhatAPersonAsksForSurvivesAPowerCut: it is on the disk as soon as it is
// answered, and who asks every second does not wear the card out.
func TestWhatAPersonAsksForSurvivesAPowerCut(t *testing.T) {
	folder := t.TempDir()
	r := newDeskRig(t, folder, deskSite)
	r.start()
	r.to(90 * time.Second)
	r.grant(request.Boost{Length: 2 * time.Hour}, "asked")
	r.grant(request.Settings{System: 0, Values: map[string]string{"heater_stop": "55 °C"}}, "heater_stop of roof is 55 °C now, after 52 °C")
	r.grant(request.Settings{System: control.House, Values: map[string]string{"tap_temperature": "41 °C"}}, "of the house")
	r.to(110 * time.Second)
	cut := afterPowerCut(t, folder)

	again := newDeskRig(t, cut, deskSite)
	again.start()
	tk := again.kept.last()
	if tk.Systems[0].BoostLeft <= 0 || tk.House.Plan.Systems[0].Settings.HeaterStopC != 55 || tk.House.Plan.Systems[0].Settings.TapC != 41 {
		t.Errorf("after the power cut: %+v", tk.House.Plan.Systems[0].Settings)
	}
	book := again.options.Desk.Book()
	if len(book.Changes) != 2 || book.Changes[0].By != "the installer" || !book.Changes[0].When.Equal(noon.Add(92*time.Second)) {
		t.Errorf("changes %+v", book.Changes)
	}
	want := request.Value{Setting: "heater_stop", From: "52 °C", To: "55 °C", File: "52 °C"}
	if got := book.Changes[0]; got.System != "roof" || got.Values[0] != want {
		t.Errorf("change %+v, want %+v", got, want)
	}
	if book.File.House.TapC != 40 || book.File.Systems[0].HeaterStopC != 52 {
		t.Error("the book does not know what the file says")
	}
}

// afterPowerCut gives a folder as it is on the disk now.
func afterPowerCut(t *testing.T, folder string) string {
	t.Helper()
	cut := t.TempDir()
	data, err := os.ReadFile(filepath.Join(folder, "state"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(cut, "state"), data, 0o600); err != nil {
		t.Fatal(err)
	}
	return cut
}

func TestSavesAfterRequestsLieApart(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	disk := eventDisk{newCardDisk(), r.events}
	r.options.disk = disk
	r.start()
	saves := func() int { return strings.Count(strings.Join(r.events.all(), "\n"), "state saved") }
	r.to(75 * time.Second)
	before := saves()
	r.grant(request.Holiday{Length: time.Hour}, "begins")
	if got := saves() - before; got != 1 {
		t.Errorf("%d saves at once, want 1", got)
	}
	for range 20 {
		r.grant(request.Holiday{Length: time.Hour}, "begins")
	}
	if got := saves() - before; got != 3 {
		t.Errorf("%d saves in 20 s of a request a second, want 3", got)
	}
	r.to(110 * time.Second)
	if got := saves() - before; got != 3 && got != 4 {
		t.Errorf("%d saves afterwards", got)
	}
}

// TestSettingsAreHeldToAllThatAFileIsHeldTo, and told in words.
func TestSettingsAreHeldToAllThatAFileIsHeldTo(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	r.start()
	for _, c := range []struct {
		system int
		values map[string]string
		words  string
	}{
		{0, map[string]string{"tank_limit": "95 °C"}, "tank_limit: 95 °C is outside of what is allowed, 40 °C to 85 °C"},
		{0, map[string]string{"tank_limit": "65 bar"}, "a temperature is wanted"},
		{0, map[string]string{"tank_limit": "65"}, "has no unit"},
		{0, map[string]string{"heater_windows": "25:00 to 26:00"}, "heater_windows"},
		{control.House, map[string]string{"heater_stop": "66 °C"}, "into the tank limit of 68 °C less 3 K; make heater_stop colder"},
		{0, map[string]string{"tank_limt": "65 °C", "tap_temperature": "41 °C"}, `There is no setting "tank_limt"`},
		{1, map[string]string{"tank_limit": "65 °C"}, "no system 1"},
	} {
		r.refuse(request.Settings{System: c.system, Values: c.values}, request.Impossible, c.words)
	}
	if got := r.options.Desk.Book().Changes; len(got) != 0 {
		t.Errorf("refused changes are kept: %+v", got)
	}
	// Two that only go together.
	r.grant(request.Settings{System: 0, Values: map[string]string{"start_difference": "3 K", "stop_difference": "2 K"}}, "start_difference of roof is 3 K now, after 8 K, stop_difference of roof is 2 K now, after 3 K")
	// And again, which is nothing new.
	if a := r.grant(request.Settings{System: 0, Values: map[string]string{"start_difference": "3 K"}}, "It is so already"); a.Change != nil {
		t.Errorf("change %+v", a.Change)
	}
	a := r.grant(request.Settings{System: 0, Values: map[string]string{"minimum_run": "0 s", "minimum_rest": "1 min"}}, "Worth a thought: in weak sun the pump may start and stop again and again")
	if a.Change == nil || a.Change.Number != 2 {
		t.Errorf("change %+v", a.Change)
	}
}

// TestChangesAreTakenBackOneByOne, each once, and the file with them can be had.
func TestChangesAreTakenBackOneByOne(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	r.start()
	limit := func() float64 { return r.kept.last().House.Plan.Systems[0].Settings.TankLimitC }
	r.refuse(request.Undo{Number: 1}, request.Outdated, "No change of settings is left")
	r.grant(request.Settings{System: control.House, Values: map[string]string{"tank_limit": "67 °C"}}, "67 °C now, after 68 °C")
	r.grant(request.Settings{System: 0, Values: map[string]string{"tank_limit": "66 °C"}}, "66 °C now, after 67 °C")
	text := string(r.options.Desk.Book().Text)
	if !strings.Contains(text, "tank_limit = \"67 °C\"") || !strings.Contains(text, "[system.settings]\ntank_limit = \"66 °C\"") {
		t.Errorf("the file with the changes in it:\n%s", text)
	}
	if s, err := site.Parse("again.toml", []byte(text)); err != nil || s.Plan.Systems[0].Settings.TankLimitC != 66 {
		t.Errorf("the file with the changes in it can't be used: %v", err)
	}
	r.refuse(request.Undo{Number: 1}, request.Outdated, "Change 1 is not the newest one: take back change 2 first")
	if limit() != 66 {
		t.Errorf("limit %g", limit())
	}
	r.grant(request.Undo{Number: 2}, "Change 2 of settings is taken back: tank_limit of roof is 67 °C now, after 66 °C")
	r.refuse(request.Undo{Number: 2}, request.Outdated, "not the newest")
	a := r.grant(request.Settings{System: 0, Values: map[string]string{"tap_temperature": "42 °C"}}, "42 °C")
	if a.Change.Number != 3 {
		t.Errorf("number %d was given twice", a.Change.Number)
	}
	r.grant(request.Undo{Number: 3}, "40 °C now")
	r.grant(request.Undo{Number: 1}, "68 °C now")
	if limit() != 68 || string(r.options.Desk.Book().Text) != deskSite {
		t.Error("not all is as the file says")
	}
}

// TestTheFileHasTheLastWord: a change counts no longer once the file says
// something else of its setting than it did; others stay.
func TestTheFileHasTheLastWord(t *testing.T) {
	folder := t.TempDir()
	r := newDeskRig(t, folder, deskSite)
	r.start()
	r.grant(request.Settings{System: 0, Values: map[string]string{"tank_limit": "66 °C", "tap_temperature": "42 °C"}}, "66 °C")
	r.grant(request.Settings{System: 0, Values: map[string]string{"heater_stop": "50 °C"}}, "50 °C")
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	edited := strings.Replace(deskSite, "68 °C", "69 °C", 1)
	again := newDeskRig(t, folder, edited)
	again.start()
	set := again.kept.last().House.Plan.Systems[0].Settings
	if set.TankLimitC != 69 || set.TapC != 42 || set.HeaterStopC != 50 {
		t.Errorf("limit %g, tap %g, heater stop %g", set.TankLimitC, set.TapC, set.HeaterStopC)
	}
	if !strings.Contains(again.log.String(), "tank_limit of roof, changed to 66 °C: the site file says something else now") {
		t.Error("nobody is told")
	}
	if err := again.end(); err != nil {
		t.Fatal(err)
	}
	// The installer writes the changes into the file: it says them itself now.
	written := newDeskRig(t, folder, string(again.options.Desk.Book().Text))
	written.start()
	if got := written.options.Desk.Book().Changes; len(got) != 0 || written.kept.last().House.Plan.Systems[0].Settings.TapC != 42 {
		t.Errorf("changes %+v", got)
	}
	if err := written.end(); err != nil {
		t.Fatal(err)
	}
	// A number is never given twice, though its change is gone.
	last := newDeskRig(t, folder, deskSite)
	last.start()
	if a := last.grant(request.Settings{System: 0, Values: map[string]string{"tap_temperature": "43 °C"}}, "43 °C"); a.Change.Number != 3 {
		t.Errorf("number %d", a.Change.Number)
	}
}

// TestChangesThatDoNotGoWithTheFileAreLeftOut: the start goes on with the others.
func TestChangesThatDoNotGoWithTheFileAreLeftOut(t *testing.T) {
	folder := t.TempDir()
	r := newDeskRig(t, folder, deskSite)
	r.start()
	r.grant(request.Settings{System: 0, Values: map[string]string{"heater_stop": "65 °C"}}, "65 °C")
	r.grant(request.Settings{System: 0, Values: map[string]string{"tap_temperature": "42 °C"}}, "42 °C")
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	again := newDeskRig(t, folder, strings.Replace(deskSite, "68 °C", "67 °C", 1)) // heater_stop is too hot for it
	again.start()
	set := again.kept.last().House.Plan.Systems[0].Settings
	if set.TankLimitC != 67 || set.TapC != 42 || set.HeaterStopC != 52 || !strings.Contains(again.log.String(), "change 1 does not go with the site file") {
		t.Errorf("limit %g, tap %g, heater stop %g", set.TankLimitC, set.TapC, set.HeaterStopC)
	}
	if err := again.end(); err != nil {
		t.Fatal(err)
	}
	renamed := newDeskRig(t, folder, strings.Replace(deskSite, `name = "roof"`, `name = "barn"`, 1))
	renamed.start()
	if got := renamed.options.Desk.Book().Changes; len(got) != 0 {
		t.Errorf("changes of a system that is not there: %+v", got)
	}
}

// TestNewMinimumTimesReachTheOutputs: the last stage before the plant must not
// hold what the controller lets go.
func TestNewMinimumTimesReachTheOutputs(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	r.start()
	r.to(3 * time.Minute)
	r.grant(request.Settings{System: control.House, Values: map[string]string{"minimum_run": "0 s", "minimum_rest": "0 s", "heater_minimum_run": "0 s", "heater_minimum_rest": "0 s"}}, "0 s")
	for _, output := range []int{pumpAt, heaterAt} {
		for _, level := range []float64{1, 0, 1} {
			r.grant(request.Override{Output: output, Level: level, Length: time.Hour}, "by hand")
			if got := r.outputs[output].Level(); got != level {
				t.Errorf("output %d is driven to %g, want %g", output, got, level)
			}
		}
	}
}

// TestOldTicksKeepTheirPlan: whoever still reads a tick is not disturbed.
func TestOldTicksKeepTheirPlan(t *testing.T) {
	r := newDeskRig(t, t.TempDir(), deskSite)
	r.start()
	old := r.kept.last()
	r.grant(request.Settings{System: control.House, Values: map[string]string{"tap_temperature": "42 °C"}}, "42 °C")
	if old.House.Plan.Systems[0].Settings.TapC != 40 || old.House.Plan.Settings.TapC != 40 || r.kept.last().House.Plan.Settings.TapC != 42 {
		t.Error("a tick has changed once it was handed over, or the next one has not")
	}
}

func TestTrimmedChangesKeepWhatCounts(t *testing.T) {
	var changes []request.Change
	add := func(system, setting string) {
		n := len(changes) + 1
		changes = append(changes, request.Change{Number: n, System: system, Values: []request.Value{{Setting: setting, To: fmt.Sprint(n)}}})
	}
	add("", "tap_temperature")
	add("roof", "tap_temperature")
	add("", "tank_limit")
	for range 30 {
		add("", "tank_limit")
	}
	var kept []int
	for _, c := range trimmed(changes) {
		kept = append(kept, c.Number)
	}
	if len(kept) != 22 || kept[0] != 1 || kept[1] != 2 || kept[2] != 14 || kept[21] != 33 {
		t.Errorf("kept %v", kept)
	}
}

func TestADeskWithoutASiteChangesNoSettings(t *testing.T) {
	_, err := NewDesk(nil).Ask(context.Background(), "somebody", request.Settings{Values: map[string]string{"tap_temperature": "41 °C"}})
	if err == nil || !strings.Contains(err.Error(), "without a site file") {
		t.Errorf("answered %v", err)
	}
}
