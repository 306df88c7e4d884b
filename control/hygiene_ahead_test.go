package control

import (
	"testing"
	"time"
)

// TestAHeatUpBeginsLateInItsLastWindow: where the sun is waited for, 80 l above the heater
// that lack 20 K are 6.634 MJ, which 2 kW bring in 3317 s; a quarter more, a quarter of an
// hour and the hold of an hour are 144 min and 6 s. So it begins at 15:36 of its window that
// ends at 18:00, on the last day on which it is done in time: a tank that is cold by then lacks 50 K,
// which with the hold takes 198 min and 12 s of the next window.
func TestAHeatUpBeginsLateInItsLastWindow(t *testing.T) {
	const week, dueAt = 7 * 24 * time.Hour, 15*60 + 36
	const takes = 144*time.Minute + 6*time.Second
	const nextDay = 21*time.Hour + 24*time.Minute + 198*time.Minute + 12*time.Second
	for name, tc := range map[string]struct {
		left   time.Duration // until it is due
		hold   time.Duration
		every  time.Duration
		minute int
		change func(*signPlant)
		want   bool
	}{
		"a minute too early in the window":            {left: 20 * time.Hour, every: week, minute: dueAt - 1},
		"late in the window":                          {left: 20 * time.Hour, every: week, minute: dueAt, want: true},
		"late, and everybody is away":                 {left: 20 * time.Hour, every: week, minute: dueAt, change: func(p *signPlant) { p.c.st.HolidayLeft = 1 }},
		"late, and its windows alone count":           {left: 20 * time.Hour, every: week, minute: dueAt, change: func(p *signPlant) { p.s.learns = false }},
		"late, and the clock is not set":              {left: 20 * time.Hour, every: week, minute: dueAt, change: func(p *signPlant) { p.c.clockSet = false }},
		"before the window":                           {left: time.Second, every: week, minute: 13*60 - 1},
		"after it":                                    {left: time.Second, every: week, minute: 18 * 60},
		"its last minute":                             {left: time.Second, every: week, minute: 18*60 - 1, want: true},
		"due before the window ends":                  {left: takes - time.Second, every: week, minute: 14 * 60, want: true},
		"due before it ends, with a minute to spare":  {left: takes + time.Minute, every: week, minute: 14 * 60},
		"the next window does it in time":             {left: nextDay + time.Second, every: week, minute: dueAt},
		"the next one would be late":                  {left: nextDay - time.Second, every: week, minute: dueAt, want: true},
		"days ahead":                                  {left: 48*time.Hour + 1, every: week, minute: dueAt},
		"late already, as the window opens":           {left: 0, every: week, minute: 13 * 60, want: true},
		"an interval of a day, in its first half":     {left: 12*time.Hour + 1, every: 24 * time.Hour, minute: dueAt},
		"an interval of a day, in its second half":    {left: 12 * time.Hour, every: 24 * time.Hour, minute: dueAt, want: true},
		"at any time, in time":                        {left: takes - time.Second, every: week, minute: 3 * 60, change: anyTime, want: true},
		"at any time, a minute too early":             {left: takes + time.Minute, every: week, minute: 3 * 60, change: anyTime},
		"two windows, as long as each other":          {left: 301 * time.Minute, every: week, minute: 7*60 - 1, change: twoWindows},
		"two windows, the later one comes late":       {left: 301*time.Minute - 1, every: week, minute: 7*60 - 1, change: twoWindows, want: true},
		"the next window is short, the one after not": {left: 47 * time.Hour, every: week, minute: dueAt, change: shortEvening},
		"the next window is short, and the last one":  {left: 20 * time.Hour, every: week, minute: dueAt, change: shortEvening, want: true},
		"longer than its window, as that opens":       {left: 29*time.Hour - 1, every: week, minute: 13 * 60, change: longHold, want: true},
		"longer than its window, and the next does":   {left: 29 * time.Hour, every: week, minute: 13 * 60, change: longHold},
		"begun to the nanosecond":                     {left: 20 * time.Hour, every: week, minute: 14 * 60, want: true, change: dueWhenDone},
		"under way, though it takes less time by now": {left: 20 * time.Hour, every: week, minute: dueAt - 60, want: true, change: underWay},
		"under way, and the next window will do":      {left: 40 * time.Hour, every: week, minute: dueAt - 60, change: underWay},
		"under way as the window ends":                {left: 20 * time.Hour, every: week, minute: 18 * 60, change: underWay},
		"under way as they leave":                     {left: 20 * time.Hour, hold: 1, every: week, minute: dueAt, change: func(p *signPlant) { p.c.st.HolidayLeft, p.s.mem.HygieneHeating = 1, true }},
		"held an hour and a quarter after the window": {left: 20 * time.Hour, hold: 1, every: week, minute: 19*60 + 14, want: true},
		"held a minute longer":                        {left: 20 * time.Hour, hold: 1, every: week, minute: 19*60 + 15},
		"held over midnight":                          {left: 20 * time.Hour, hold: 1, every: week, minute: 30, change: lateEvening, want: true},
		"held two days ahead":                         {left: 48 * time.Hour, hold: 1, every: week, minute: 13 * 60, want: true},
		"held more than two days ahead":               {left: 48*time.Hour + 1, hold: 1, every: week, minute: 13 * 60},
		"held in the morning, out of the window":      {left: time.Hour, hold: 30 * time.Minute, every: week, minute: 9 * 60},
	} {
		p := newSignPlant(t)
		set := *p.s.set
		set.HygieneInterval = tc.every
		p.s.set = &set
		p.s.figures = tankFiguresOf(&System{TankL: 200, HeaterW: 2000})
		p.s.learns = true
		m := &p.s.mem.SunFirst
		m.Planned, m.Draws.Days[workingDay], m.Tank.Layers = true, habitDays, even(42)
		p.c.clockSet, p.c.minute = true, tc.minute
		p.s.mem.HygieneSince, p.s.mem.HygieneHold = tc.every-tc.left, tc.hold
		if tc.change != nil {
			tc.change(p)
		}
		if got := p.c.hygieneDue(p.s); got != tc.want {
			t.Errorf("%s: due %v, want %v", name, got, tc.want)
		}
	}
}

func underWay(p *signPlant) { p.s.mem.HygieneHeating = true }

func anyTime(p *signPlant) { p.s.set.HygieneWindows = Windows{{0, dayMinutes}} }

func shortEvening(p *signPlant) { p.s.set.HygieneWindows = Windows{{780, 1080}, {1200, 1230}} }

func lateEvening(p *signPlant) { p.s.set.HygieneWindows = Windows{{1380, dayMinutes}} }

func longHold(p *signPlant) { p.s.set.HygieneHold = 4 * time.Hour }

func dueWhenDone(p *signPlant) { p.s.mem.HygieneSince = p.s.set.HygieneInterval - p.c.heatUpTakes(p.s) }

// twoWindows are shorter than a cold tank needs.
func twoWindows(p *signPlant) {
	p.s.set.HygieneWindows, p.s.set.HygieneHold = Windows{{300, 420}, {600, 720}}, 10*time.Minute
}

// TestSinceAWindow: to the minute, and over midnight.
func TestSinceAWindow(t *testing.T) {
	evening := Windows{{From: 22 * 60, To: 60}}
	for _, tc := range []struct {
		windows Windows
		open    bool
		minute  int
		want    int
	}{
		{evening, true, 22 * 60, 0}, {evening, true, 22*60 - 1, 21 * 60}, {evening, true, 60, 1}, {evening, true, 59, 0},
		{evening, false, 22 * 60, 1}, {evening, false, 59, 3 * 60}, {evening, false, 60, 0},
		{nil, true, 600, dayMinutes}, {nil, false, 600, 0},
		{Windows{{0, dayMinutes}}, true, 600, 0}, {Windows{{0, dayMinutes}}, false, 600, dayMinutes},
	} {
		if got := tc.windows.since(tc.open, tc.minute); got != tc.want {
			t.Errorf("%v, open %v, at %s: %d min ago, want %d", tc.windows, tc.open, clock(tc.minute), got, tc.want)
		}
	}
}

// TestHeatUpsUnderOneSupplyBeginEarlier: tanks whose heat-ups are due on one day and
// whose heaters may not run together need the time of all.
func TestHeatUpsUnderOneSupplyBeginEarlier(t *testing.T) {
	const other = time.Duration(hygieneSparePart * (60 - 42) * usualTankL * waterJLK / 2000 * float64(time.Second))
	windowsLead := func(left time.Duration) func(*Controller, *system) {
		return func(_ *Controller, s *system) { s.learns, s.mem.HygieneSince = false, s.set.HygieneInterval-left }
	}
	sunLeads := func(left time.Duration) func(*Controller, *system) {
		return func(_ *Controller, s *system) { s.mem.HygieneSince = s.set.HygieneInterval - left }
	}
	aDay := func(left time.Duration) func(*Controller, *system) {
		return func(_ *Controller, s *system) {
			s.set.HygieneInterval = 24 * time.Hour
			s.mem.HygieneSince = s.set.HygieneInterval - left
		}
	}
	at := func(from, to int) func(*Controller, *system) {
		return func(_ *Controller, s *system) { s.set.HygieneWindows = Windows{{from * 60, to * 60}} }
	}
	supply := func(watts float64) func(*Controller, *system) {
		return func(c *Controller, _ *system) { c.plan.SupplyW = watts }
	}
	for name, tc := range map[string]struct {
		tanks  int
		change func(c *Controller, other *system)
		want   time.Duration
	}{
		"both on one day":                                   {2, sunLeads(20 * time.Hour), other},
		"the supply is enough":                              {2, supply(4000), 0},
		"the supply is a watt too little":                   {2, supply(3999), other},
		"three, and it is enough for two":                   {3, supply(5000), 2 * other},
		"three, and it is enough for all":                   {3, supply(6000), 0},
		"no limit of the supply":                            {2, supply(0), 0},
		"the other can wait a day":                          {2, sunLeads(47 * time.Hour), 0},
		"the other is not due":                              {2, sunLeads(49 * time.Hour), 0},
		"the other's interval is a day, half of it over":    {2, aDay(12 * time.Hour), other},
		"the other's interval is a day, not half of it yet": {2, aDay(12*time.Hour + 1), 0},
		"the other's windows are past":                      {2, at(6, 8), 0},
		"the other's windows begin as ours end":             {2, at(18, 22), 0},
		"the other's windows begin before":                  {2, at(17, 22), other},
		"the other goes by its windows, due":                {2, windowsLead(0), other},
		"and will be, before our window ends":               {2, windowsLead(3*time.Hour - 1), other},
		"and will be, as our window ends":                   {2, windowsLead(3 * time.Hour), 0},
		"the other has no valve":                            {2, func(_ *Controller, s *system) { s.plan.Tempered = false }, 0},
		"the other's top is unknown":                        {2, func(_ *Controller, s *system) { s.tankTop.Quality = Missing }, 0},
		"the other's top is stuck":                          {2, func(_ *Controller, s *system) { s.mem.Signs.Pocket.TopStuck = true }, 0},
		"the other has no heat-up":                          {2, func(_ *Controller, s *system) { s.set.HygieneInterval = 0 }, 0},
		"the other is hot":                                  {2, func(_ *Controller, s *system) { s.tankTop.Value = 65 }, 0},
	} {
		c, err := New(testPlan(tc.tanks, func(p *Plan) {
			p.SupplyW = 3000
			eachSystem(p, func(s *System) { s.Tempered = true })
		}))
		if err != nil {
			t.Fatal(err)
		}
		c.clockSet, c.minute = true, 15*60
		for i := range c.systems {
			s := &c.systems[i]
			m := &s.mem.SunFirst
			s.tankTop = &Judged{Value: 42, Quality: Good}
			s.learns, m.Planned, m.Draws.Days[workingDay], m.Tank.Layers = true, true, habitDays, even(42)
			s.figures = tankFiguresOf(&System{TankL: usualTankL, HeaterW: 2000})
			s.mem.HygieneSince = s.set.HygieneInterval - 20*time.Hour
		}
		tc.change(c, &c.systems[1])
		s := &c.systems[0]
		alone := time.Duration(hygieneSparePart*s.mem.SunFirst.Tank.Layers.lacksJ(&s.figures, 62)/2000*float64(time.Second)) + 75*time.Minute
		if got := c.heatUpTakes(s) - alone; got.Round(time.Second) != tc.want.Round(time.Second) {
			t.Errorf("%s: %v longer, want %v", name, got, tc.want)
		}
	}
}
