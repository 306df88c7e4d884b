package messages

import (
	"context"
	"time"

	"sunstoker/control"
	"sunstoker/dashboard"
	"sunstoker/station/request"
	"sunstoker/station/tick"
)

// aTick is an invented house at noon: two systems, one with a name that no topic may
// hold as it stands.
func aTick(number uint64, collectorC float64) *tick.Tick {
	settings := control.DefaultSettings()
	plan := &control.Plan{
		Zone: time.FixedZone("Europe/Rome", 3600), Settings: settings,
		Systems: []control.System{
			{Name: "roof", Loop: control.Pumped, Settings: settings, FreezingPointC: -22, HeaterW: 2000},
			{Name: "shed + barn/2", Loop: control.Natural, Settings: settings, HeaterW: 1500},
		},
		Probes:  []control.Probe{{System: 0, Place: control.Collector}, {System: 1, Place: control.TankTop}, {System: control.House, Place: control.OutdoorAir}},
		Outputs: []control.Output{{System: 0, Actuator: control.LoopPump}, {System: 1, Actuator: control.BackupHeater}},
	}
	good := func(value float64) tick.Reading {
		return tick.Reading{Judged: control.Judged{Value: value, Age: 800 * time.Millisecond, Quality: control.Good}, Kind: "one-wire"}
	}
	gains := control.Reason{Words: control.SaysLoopGains, Values: [3]float64{collectorC, 24.9}}
	return &tick.Tick{
		House:  &tick.House{Name: "House on the hill", Plan: plan, Version: "0.1.0"},
		Number: number, At: time.Duration(number) * time.Second, Service: 40 * 24 * time.Hour,
		Wall: control.Wall{Time: time.Date(2026, 2, 19, 11, 42, 7, 0, time.UTC), Trusted: true}, Took: time.Millisecond,
		Readings: []tick.Reading{good(collectorC), good(47.8), good(6.2)},
		Outputs: []tick.Output{
			{Decision: control.Decision{Level: 1, Rank: control.Comfort, Reason: gains, Votes: []control.Vote{{Level: 1, Rank: control.Comfort, Reason: gains}}}, Driven: 1, Switchings: 412, On: 388 * time.Hour},
			{Decision: control.Decision{Rank: control.Upkeep, Reason: control.Reason{Words: control.SaysNobodyAsks}}},
		},
		Systems: []tick.System{{Energy: control.Energy{SunJ: 7.2e9, MeterJ: 1.8e9}, CountsHeat: true, HotLitres: 84.5}, {HotLitres: -1}},
	}
}

// aDesk grants whatever is asked, and keeps it.
type aDesk struct{ asked []request.Request }

func (d *aDesk) Ask(_ context.Context, by string, r request.Request) (*request.Answer, error) {
	d.asked = append(d.asked, r)
	if b, is := r.(request.Boost); is && b.Length > 12*time.Hour {
		return nil, &request.Refusal{Kind: request.Impossible, Words: "That is too long."}
	}
	return &request.Answer{Words: "Granted to " + by + ".", Tick: aTick(9, 61.3)}, nil
}

func (d *aDesk) Book() *request.Book { return nil }

// page is the JSON interface of the house, which has seen a tick.
func (d *aDesk) page() *dashboard.Dashboard {
	page := dashboard.New(dashboard.Options{Desk: d})
	page.Watch(aTick(1, 61.3))
	return page
}
