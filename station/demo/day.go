package demo

import (
	"time"

	"sunstoker/sim/household"
	"sunstoker/sim/weather"
)

// Begin is the civil time of the house at the start of the demo. Summer time
// is on; the sun is highest at about half past one.
func Begin(zone *time.Location) time.Time { return time.Date(2026, time.April, 18, 8, 30, 0, 0, zone) }

// DefaultSpeed shows the twelve hours from the morning sun to the evening's
// showers in two minutes.
const DefaultSpeed = 360

func at(hour, minute int) time.Duration {
	return time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute
}

// sky is the weather of every day of the demo, by solar time of day, which is
// about an hour and a half behind the house's summer time.
var sky = []weather.Moment{
	{At: at(4, 0), Cover: 0.1, AirC: 4, WindMS: 1},
	{At: at(7, 0), Cover: 0.0, AirC: 8, WindMS: 1},
	{At: at(10, 30), Cover: 0.05, AirC: 14, WindMS: 2},
	{At: at(10, 45), Cover: 0.95, AirC: 12, WindMS: 4}, // a bank of cloud
	{At: at(12, 15), Cover: 0.95, AirC: 12, WindMS: 4},
	{At: at(12, 30), Cover: 0.1, AirC: 15, WindMS: 3},
	{At: at(14, 45), Cover: 0.2, AirC: 16, WindMS: 2},
	{At: at(15, 15), Cover: 0.9, AirC: 14, WindMS: 2}, // the evening is grey
	{At: at(22, 0), Cover: 0.6, AirC: 8, WindMS: 1},
}

// people draw the same every day, by civil time of day. They shower so early
// that the heater, whose window opens at five, helps well before the two
// minutes are over.
type people struct{}

// Day implements household.Source.
func (people) Day(_ household.Date, into []household.Draw) []household.Draw {
	shower := func(hour, minute int) household.Draw {
		return household.Draw{At: at(hour, minute), For: 8 * time.Minute, FlowLMin: 9, TapC: 40, UsefulC: 38}
	}
	sink := func(hour, minute int) household.Draw {
		return household.Draw{At: at(hour, minute), For: 2 * time.Minute, FlowLMin: 5, TapC: 45, UsefulC: 40}
	}
	return append(into,
		shower(6, 45), sink(7, 15), sink(9, 30), sink(12, 45), sink(15, 50),
		shower(16, 0), shower(16, 15), shower(16, 30), sink(16, 40), shower(16, 50), shower(17, 5), shower(19, 30))
}
