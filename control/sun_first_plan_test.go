package control

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"
)

// planHouse is a system about to plan, with a memory written by hand: a tank of
// 200 l without losses, its heater of 2 kW at half height, all of it at 30 °C, no
// sun and no draws; a Monday, 06:00.
type planHouse struct {
	c *Controller
	s *system
	m *SunFirst
}

func newPlanHouse(t *testing.T, changes ...change) *planHouse {
	t.Helper()
	c, err := New(testPlan(1, append([]change{sure(99), func(p *Plan) {
		s := &p.Systems[0]
		s.TankL, s.HeaterHeight, s.Settings.HeaterStopC, s.Settings.TapC = 200, 0.5, 60, 40
	}}, changes...)...))
	if err != nil {
		t.Fatal(err)
	}
	for i := range c.out.Readings {
		c.out.Readings[i] = Judged{Value: 30, Quality: Good}
	}
	s := &c.systems[0]
	s.look()
	c.clockSet, c.dayOf, c.minute = true, aMonday, 6*60
	p := &planHouse{c, s, &s.mem.SunFirst}
	p.m.Draws.Days = [dayKinds]float64{1e12, 1e12} // so that neither kind leans on the other
	p.m.Sun = knownSun()
	p.m.Sun.Last = p.m.Sun.Ratio
	p.water(30)
	return p
}

// water sets the picture of the tank by tenths, from its bottom; the last figure
// stands for all that lies above.
func (p *planHouse) water(fromBottomC ...float64) {
	for i := range p.m.Tank.Layers {
		p.m.Tank.Layers[i] = fromBottomC[min(i*10/pictureLayers, len(fromBottomC)-1)]
	}
}

// draws lets so much be drawn in an hour of working days, evenly.
func (p *planHouse) draws(hour int, kWh float64) { p.m.Draws.atHour(workingDay, hour, kWh) }

// sun gives hours of clear light, kW/m².
func (p *planHouse) sun(from, to int, kW float64) {
	for hour := from; hour < to; hour++ {
		p.s.clearKW[hour] = kW
	}
	p.s.clearDayKWh = sum(p.s.clearKW[:])
}

// plan is what comes of a plan.
func (p *planHouse) plan() string {
	p.c.planHeater(p.s)
	starts := "never"
	if p.m.Starts {
		starts = fmt.Sprintf("in %.2f min", p.m.StartIn.Minutes())
	}
	return fmt.Sprintf("starts %s, heats %v; sun %.4f kWh, wanted %.4f kWh", starts, p.m.Heat, p.m.SunKWh, p.m.WantedKWh)
}

// halfTankJK is the heat that the water above the heater takes.
const halfTankJK = 100 * waterJLK

// readyAt99 is how many deviations are kept ready for a surety of 99 % when no sun
// is to come: two and a half times the normal distribution's 2.3263 (any table of it, from memory) less
// what single hours spare, and the part for dull days.
const readyAt99 = 2.5*(2.3263-1.75) + dullDeviations

// TestSuretyIsANormalQuantile: the deviations go by the normal distribution (any
// table of it, from memory), two and a half times as many beyond 1.75 of them.
func TestSuretyIsANormalQuantile(t *testing.T) {
	for percent, want := range map[float64]float64{
		96: 2.5 * (1.7507 - 1.75), 97.5: 2.5 * (1.9600 - 1.75), 98: 2.5 * (2.0537 - 1.75), 99: 2.5 * (2.3263 - 1.75),
		99.5: 2.5 * (2.5758 - 1.75), 99.9: 2.5 * (3.0902 - 1.75), 99.99: 2.5 * (3.7190 - 1.75),
	} {
		if got := careful(percent); math.Abs(got-want) > 3e-4 {
			t.Errorf("%g %%: %.4f deviations, want %.4f", percent, got, want)
		}
	}
	for _, percent := range []float64{0, 50, 80, 94} { // 94 % is 1.5548
		near(t, "a surety that would spare more than pays", careful(percent), -0.3)
	}
	if got := careful(95.5); math.Abs(got-2.5*(1.6954-1.75)) > 3e-4 {
		t.Errorf("95.5 %%: %g deviations", got)
	}
}

// TestLatestStart: what an hour may ask for must be hot as it begins, so that the
// heater starts as long before that as it takes to heat the water above it. Worked
// by hand for 1.5 kWh between twelve and one: the hour from twelve on asks for it
// all, which takes longest; that from a quarter past eleven on asks for a quarter of
// it, for which all above the heater must be hot enough for the taps.
func TestLatestStart(t *testing.T) {
	hotC := func(hourKWh, coldC float64) float64 {
		return coldC + (hourKWh+readyAt99*math.Sqrt(hourKWh*usualBurst))*jPerKWh/halfTankJK
	}
	minutes := func(fromC, toC float64) float64 { return (toC - fromC) * halfTankJK / 2000 / 60 }
	const noon, before = 6 * 60.0, 5.25 * 60 // from six on

	for _, c := range []struct {
		name    string
		arrange func(*planHouse)
		want    float64 // minutes until the heater must start
	}{
		{"as hot as the need", func(*planHouse) {}, noon - minutes(30, hotC(1.5, 10))},
		{"a small need: just hot enough for the taps", func(p *planHouse) { p.draws(12, 0.4) }, before - minutes(30, 41)},
		{"drawn an hour later", func(p *planHouse) { p.draws(12, 0); p.draws(13, 1.5) }, noon + 60 - minutes(30, hotC(1.5, 10))},
		{"at twelve by half past six", func(p *planHouse) { p.c.minute += 30 }, noon - 30 - minutes(30, hotC(1.5, 10))},
		{"colder above the heater", func(p *planHouse) { p.water(20) }, noon - minutes(20, hotC(1.5, 10))},
		{"colder below it, which nobody draws yet", func(p *planHouse) { p.water(10, 10, 10, 10, 10, 30) }, noon - minutes(30, hotC(1.5, 10))},
		{"hot enough for some of it at the very top", func(p *planHouse) { p.water(30, 30, 30, 30, 30, 30, 30, 30, 30, 50) }, noon - 0.8*minutes(30, hotC(1.5, 10)) - 0.2*minutes(50, hotC(1.5, 10))},
		{"taps that want it hotter", func(p *planHouse) { p.s.set.TapC = 50; p.draws(12, 0.4) }, before - minutes(30, 51)},
		{"no hotter than the heater stops", func(p *planHouse) { p.s.set.HeaterStopC = 35 }, before - minutes(30, 35)},
		{"a heater of half the power", func(p *planHouse) { p.s.figures.heaterW = 1000 }, noon - 2*minutes(30, hotC(1.5, 10))},
		{"a heater higher up", func(p *planHouse) { p.s.figures.heaterAt = 16; p.draws(12, 0.4) }, before - 0.4*minutes(30, 41)},
		{"warmer cold water", func(p *planHouse) { p.s.mem.Balance.ColdC = 10.5 }, noon - minutes(30, hotC(1.5, 10.5))},
	} {
		p := newPlanHouse(t)
		p.s.set.HeaterStopC = 75
		p.draws(12, 1.5)
		c.arrange(p)
		p.c.planHeater(p.s)
		if got := p.m.StartIn.Minutes(); !p.m.Starts || p.m.Heat || math.Abs(got-c.want) > 0.05 {
			t.Errorf("%s: %s, want in %.2f min", c.name, p.plan(), c.want)
		}
	}
}

// TestNeedOfAnHour: its mean, and deviations of draws of a size from that and from
// what may have been drawn unseen.
func TestNeedOfAnHour(t *testing.T) {
	m := SunFirst{Draws: DrawHabits{BurstKWh: 2}}
	near(t, "nothing unseen", m.needKWh(0.5, 1.5), 0.5+1.5*1)
	m.Tank.UnseenKWh = 4
	near(t, "something unseen", m.needKWh(0.5, 1.5), 0.5+1.5*3)
	near(t, "less than the mean", m.needKWh(0.5, -0.1), 0.5-0.1*3)
}

// TestNothingIsHeatedInVain: what is hot enough, what nobody wants, what lies
// beyond the outlook and what the tank can't hold.
func TestNothingIsHeatedInVain(t *testing.T) {
	for name, arrange := range map[string]func(*planHouse){
		"nobody draws":     func(p *planHouse) { p.draws(12, 0) },
		"hands are washed": func(p *planHouse) { p.draws(12, 0.003) },
		"all is hot":       func(p *planHouse) { p.water(60) },
		"it is as hot as it may be": func(p *planHouse) {
			p.s.set.HeaterStopC = 45
			p.water(45)
			p.draws(12, 0)
			p.draws(7, 12)
			p.c.minute = 13 * 60
		},
		"drawn in more than 18 h":       func(p *planHouse) { p.draws(12, 0); p.c.minute = 13*60 + 10; p.draws(8, 2) },
		"drawn on a free day, tomorrow": func(p *planHouse) { p.draws(12, 0); p.c.dayOf += 4; p.draws(3, 2) },
	} {
		p := newPlanHouse(t)
		p.draws(12, 2)
		arrange(p)
		if p.c.planHeater(p.s); p.m.Starts || p.m.Heat {
			t.Errorf("%s: %s", name, p.plan())
		}
	}
	p := newPlanHouse(t)
	p.c.minute = 13 * 60 // and in less than 18 h
	p.draws(7, 2)
	if p.c.planHeater(p.s); !p.m.Starts {
		t.Errorf("drawn in 18 h: %s", p.plan())
	}
}

// TestPlanHeatsAheadByOnePlan: a start is now when no other plan comes before it,
// and a heater that runs is kept on for half an hour's worth.
func TestPlanHeatsAheadByOnePlan(t *testing.T) {
	for _, c := range []struct {
		latest      float64 // s
		was, heats  bool
		starts      bool
		wantStartIn time.Duration
	}{
		{300, false, true, true, 5 * time.Minute}, {301, false, false, true, 301 * time.Second},
		{1800, true, true, true, 30 * time.Minute}, {1801, true, false, true, 1801 * time.Second},
		{-500, false, true, true, 0}, {math.Inf(1), true, false, false, 0},
	} {
		m := SunFirst{Heat: c.was, StartIn: time.Hour}
		m.decide(c.latest)
		if m.Heat != c.heats || m.Starts != c.starts || m.StartIn != c.wantStartIn {
			t.Errorf("%+v: heats %v, starts %v in %v", c, m.Heat, m.Starts, m.StartIn)
		}
	}
}

// TestAHeaterThatProvesNothingYetGoesOn: one that runs for long without a sign of it
// is not stopped by a plan, or it would never be found out.
func TestAHeaterThatProvesNothingYetGoesOn(t *testing.T) {
	for _, c := range []struct {
		effort time.Duration
		heats  bool
		want   bool
	}{
		{2*time.Hour + 1, true, true}, {2 * time.Hour, true, false}, {2*time.Hour + 1, false, false}, {0, true, false},
	} {
		p := newPlanHouse(t)
		p.s.heatBudget, p.s.mem.HeaterEffort, p.m.Heat = 4*time.Hour, c.effort, c.heats
		p.c.planHeater(p.s)
		if p.m.Heat != c.want {
			t.Errorf("heating %v for %v in vain: %v", c.heats, c.effort, p.m.Heat)
		}
	}
}

// TestOutlookStepByStep: quarters of an hour, each with the draws of its hours and the sun of
// its middle, by the forecast for its day.
func TestOutlookStepByStep(t *testing.T) {
	p := newPlanHouse(t)
	for hour := range dayHours {
		p.m.Draws.atHour(workingDay, hour, float64(hour))
		p.m.Draws.atHour(freeDay, hour, 100+float64(hour))
		p.s.clearKW[hour] = float64(hour) / 10
	}
	p.s.clearKW[0] = 0.1 // in the far north
	p.c.dayOf += 4       // Friday
	p.m.Sun.Ratio, p.m.Sun.Last = 2, 3
	p.m.Sun.Clear, p.m.Sun.Sun = 1, 4 // 2.6 tomorrow, 2.3 today
	for _, c := range []struct {
		minute, step  int
		draw, sun, lo float64
	}{
		{720, 0, 3, 2.3 * 1.2 / 4, 0.5}, {720, 3, 3, 2.3 * 1.2 / 4, 0.5}, {720, 4, 3.25, 2.3 * 1.3 / 4, 0.5},
		{720, 47, 5.75, 2.3 * 2.3 / 4, 0.5}, {720, 48, 25, 2.6 * 0.1 / 4, 0.4}, {720, 52, 25.25, 2.6 * 0.1 / 4, 0.4}, {720, 143, 5.75 + 25, 2.6 * 2.3 / 4, 0.4},
		{775, 0, 5.0/60*12 + 10.0/60*13, 2.3 * 1.3 / 4, 0.5}, {730, 0, 3, 2.3 * 1.2 / 4, 0.5}, {772, 0, 8.0/60*12 + 7.0/60*13, 2.3 * 1.2 / 4, 0.5},
		{719, 48, 1.0/60*23 + 14.0/60*100, 2.3 * 0.1 / 4, 0.5}, {720, 48, 25, 2.6 * 0.1 / 4, 0.4},
	} {
		p.c.minute = c.minute
		o := p.c.foresee(p.s)
		name := fmt.Sprintf("at %s, step %d", clock(c.minute), c.step)
		near(t, name+": draws", o.drawKWh[c.step], c.draw)
		near(t, name+": sun", o.sunKWh[c.step], c.sun)
		near(t, name+": sure", o.sureKWh[c.step], c.lo*c.sun)
	}
}

// TestCheapPowerComesFirst: what must be heated before power is cheap again is
// heated in the cheap hours, as late as they allow.
func TestCheapPowerComesFirst(t *testing.T) {
	const hour = 3600.0
	for name, c := range map[string]struct {
		o                     outlook
		latest, heating, want float64
	}{
		"dear now":                         {outlook{}, 5 * hour, hour, 5 * hour},
		"wanted in the dear hours":         {outlook{cheap: hours(2), again: hours(18)}, 5 * hour, hour, hour},
		"wanted as they begin":             {outlook{cheap: hours(2), again: hours(18)}, 1.5 * hour, hour, hour},
		"done before they begin":           {outlook{cheap: hours(2), again: hours(18)}, 0.5 * hour, hour, 0.5 * hour},
		"wanted just before cheap hours":   {outlook{cheap: hours(2), again: hours(18)}, 18*hour - 1, hour, hour},
		"wanted as it is cheap again":      {outlook{cheap: hours(2), again: hours(18)}, 18 * hour, hour, 18 * hour},
		"wanted when it is cheap again":    {outlook{cheap: hours(2), again: hours(18)}, 19 * hour, hour, 19 * hour},
		"never wanted":                     {outlook{cheap: hours(2), again: hours(18)}, math.Inf(1), 0, math.Inf(1)},
		"more than the cheap hours can do": {outlook{cheap: hours(1), again: hours(18)}, 5 * hour, 3 * hour, -2 * hour},
	} {
		if got := c.o.cheaper(c.latest, c.heating); got != c.want {
			t.Errorf("%s: start in %g h, want %g", name, got/hour, c.want/hour)
		}
	}
}

// TestCheapPowerIsCountedByTheMinute: until the window ends, and until it opens
// again.
func TestCheapPowerIsCountedByTheMinute(t *testing.T) {
	for _, c := range []struct {
		windows      Windows
		minute       int
		cheap, again int
	}{
		{Windows{{22 * 60, 6 * 60}}, 23*60 + 25, 395, 22*60 + 35}, {Windows{{22 * 60, 6 * 60}}, 5*60 + 59, 1, 16*60 + 1},
		{Windows{{22 * 60, 6 * 60}}, 22 * 60, 480, 1440}, {Windows{{22 * 60, 6 * 60}}, 6 * 60, 0, 0},
		{Windows{{60, 120}, {13 * 60, 14 * 60}}, 70, 50, 710}, {Windows{{0, 1440}}, 700, 1440, 1440}, {nil, 700, 0, 0},
	} {
		p := newPlanHouse(t, func(plan *Plan) { plan.Systems[0].Settings.OffPeakWindows = c.windows })
		p.c.minute = c.minute
		p.s.offPeak = p.c.within(c.windows)
		o := p.c.foresee(p.s)
		if o.cheap != time.Duration(c.cheap)*time.Minute || o.again != time.Duration(c.again)*time.Minute {
			t.Errorf("%v at %s: cheap for %v, again after %v", c.windows, clock(c.minute), o.cheap, o.again)
		}
	}
}

// TestCheapHeatingEndsWithTheWindow: at 04:07, an hour and 53 min before power gets
// dear, what twelve o'clock wants starts as late as it can still be done by six.
func TestCheapHeatingEndsWithTheWindow(t *testing.T) {
	p := newPlanHouse(t, cheapNights)
	p.c.minute, p.s.offPeak = 4*60+7, true
	p.draws(12, 0.4)
	p.c.planHeater(p.s)
	heating := (41 - 30) * halfTankJK / 2000.0 / 60
	if want := 113 - heating; math.Abs(p.m.StartIn.Minutes()-want) > 0.01 {
		t.Errorf("%s, want in %.2f min", p.plan(), want)
	}
}

func TestSunCoversWhatIsWanted(t *testing.T) {
	for _, c := range []struct{ sun, wanted, want float64 }{
		{0, 2, 0}, {1, 2, 0.5}, {2, 2, 1}, {5, 2, 1}, {0.1, 0, 0.4}, {0.1, 0.25, 0.4}, {0.1, 0.4, 0.25}, {0.3, 0.2, 1}, {0.25, 0.1, 1},
	} {
		near(t, fmt.Sprintf("sun of %g kWh for %g kWh", c.sun, c.wanted), covers(c.sun, c.wanted), c.want)
	}
}

// TestSunSparesCaution: with all that is wanted to come from the sun in time, no more
// than the mean is kept ready at 99 %, at 99.9 % so many deviations less, and nothing for
// dull days.
func TestSunSparesCaution(t *testing.T) {
	for _, c := range []struct{ surety, drawKWh, deviations float64 }{{99, 6.3, 0}, {99.9, 3.6, 2.5*(3.0902-1.75) - 1.6}} {
		p := newPlanHouse(t, sure(c.surety))
		p.s.set.HeaterStopC = 90
		p.draws(9, c.drawKWh)
		p.sun(16, 17, c.drawKWh/2) // as much, after the draw and in the next 12 h
		p.c.planHeater(p.s)
		needKWh := c.drawKWh + c.deviations*math.Sqrt(c.drawKWh*usualBurst)
		want := 180 - (houseColdC+needKWh*jPerKWh/halfTankJK-30)*halfTankJK/2000/60
		if math.Abs(p.m.StartIn.Minutes()-want) > 0.05 {
			t.Errorf("%g %%: %s, want in %.2f min", c.surety, p.plan(), want)
		}
		near(t, "sun", p.m.SunKWh, c.drawKWh)
		near(t, "wanted", p.m.WantedKWh, c.drawKWh)
	}
}

// TestTableOfPlans: what is planned at each hour of a day, by the water in the
// tank, the sun, the surety, cheap hours and losses.
func TestTableOfPlans(t *testing.T) {
	var lines []string
	profile, _ := profileM(t)
	quarters := byQuarters(profile)
	waters := map[string][]float64{
		"cold": {10}, "lukewarm": {38}, "hot above": {15, 15, 15, 15, 15, 20, 40, 47, 50}, "hot": {45, 50, 55},
	}
	for _, water := range []string{"cold", "lukewarm", "hot above", "hot"} {
		for _, ratio := range []float64{0, 0.3, 2} {
			for _, surety := range []float64{50, 97, 99.9} {
				for minute := 0; minute < dayMinutes; minute += 205 {
					p := newPlanHouse(t, cheapNights, sure(surety), func(plan *Plan) { plan.Systems[0].TankLossWK = 2 })
					p.water(waters[water]...)
					p.sun(8, 12, 0.25)
					p.sun(12, 16, 0.5)
					p.m.Draws.Slots = [dayKinds][daySlots]float64{quarters, quarters}
					p.m.Sun.Ratio, p.m.Sun.Last = ratio, ratio
					p.c.minute, p.s.offPeak = minute, p.s.set.OffPeakWindows.Contain(minute)
					lines = append(lines, fmt.Sprintf("%s tank, %g kWh/m², %g %%, %s: %s", water, ratio, surety, clock(minute), p.plan()))
				}
			}
		}
	}
	if slices.Sort(lines); len(slices.Compact(slices.Clone(lines))) != len(lines) {
		t.Error("a case stands twice")
	}
	holdTable(t, "plans", lines)
}

// TestAheadIsMoreThanHalfAnHour: a heater that starts in the last cheap minutes says
// that it heats ahead when it would else have started more than half an hour later.
func TestAheadIsMoreThanHalfAnHour(t *testing.T) {
	near := map[bool]int{}
	for look := range 5 * 60 {
		minute, heaterW := 6*60+look/5, []float64{1500, 1600, 2000, 2300, 2600}[look%5]
		power := func(p *Plan) { p.Systems[0].HeaterW = heaterW }
		must, cheap := newPlanHouse(t, power), newPlanHouse(t, power, func(p *Plan) {
			p.Systems[0].Settings.OffPeakWindows = Windows{{0, minute + 10}}
		})
		for _, p := range []*planHouse{must, cheap} {
			p.c.minute = minute
			p.s.offPeak = p == cheap
			p.draws(8, 1)
			p.c.planHeater(p.s)
		}
		lead := must.m.StartIn - cheap.m.StartIn
		if want := cheap.m.Heat && lead > 30*time.Minute; cheap.m.Ahead != want {
			t.Errorf("at %s it would start %v later: ahead %v; %s", clock(minute), lead, cheap.m.Ahead, cheap.plan())
		}
		if cheap.m.Heat && lead > 15*time.Minute && lead < 45*time.Minute {
			near[cheap.m.Ahead]++
		}
	}
	if near[true] < 5 || near[false] < 5 {
		t.Errorf("%d looks are a little ahead of the border, and %d behind it", near[true], near[false])
	}
}
