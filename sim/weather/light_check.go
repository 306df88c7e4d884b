package weather

import (
	"fmt"
	"math"
	"time"

	"sunstoker/physics"
)

const (
	// mostMisplaced is how much of a year's light may be brighter than the sun
	// outside the air or come with the sun down. In the built-in years it is below
	// 0.01 %, with the times half an hour off 0.3 %, an hour off 2 %.
	mostMisplaced = 0.01
	// mostApart is by how much of a year's light, hour by hour, global may differ
	// from beam and diffuse on the level. In the built-in years it is 0.3 %, with
	// the times half an hour off 5 %, an hour off 10 %: the bound lies between, so
	// that parts that were modelled apart from each other pass. Under a sky that is
	// always clear half an hour is 11 %.
	mostApart = 0.08
	// noteworthyApart is from where on it is seen whether other times fit better.
	noteworthyApart = 0.03
	// leastClearness is the least light of a year by that outside the air. The
	// cloudiest places have about 0.3 (from memory), half of it is no weather.
	leastClearness = 0.15
)

// lightSums is the light of a year by what is possible, in W h/m2.
type lightSums struct {
	globalWh    float64
	outsideWh   float64 // outside the air, on the level
	darkWh      float64 // of the global: while the sun is down
	tooBrightWh float64 // of the global: beyond what comes in from outside the air
	apartWh     float64 // by how much global differs from its parts, either way
}

// add counts an hour.
func (s *lightSums) add(r Row, sun sunHour) {
	outsideWM2 := sun.meanSine * sun.outsideWM2
	s.globalWh += r.GlobalHorizontalWM2
	s.outsideWh += outsideWM2
	if sun.meanSine == 0 {
		s.darkWh += r.GlobalHorizontalWM2
	} else {
		s.tooBrightWh += math.Max(0, r.GlobalHorizontalWM2-outsideWM2)
	}
	s.apartWh += math.Abs(r.BeamNormalWM2*sun.meanSine + r.DiffuseHorizontalWM2 - r.GlobalHorizontalWM2)
}

func (s *lightSums) misplaced() float64 { return (s.darkWh + s.tooBrightWh) / s.globalWh }
func (s *lightSums) apart() float64     { return s.apartWh / s.globalWh }

// sunHour is what the sun has for one hour.
type sunHour struct {
	hourSun
	meanSine   float64 // of its elevation while it is up
	outsideWM2 float64 // light outside the air, on a plane that faces it
}

// sunHours are the hours that begin in even steps round the year.
func sunHours(place Place, start time.Time, step time.Duration) []sunHour {
	all := make([]sunHour, hoursPerYear*time.Hour/step)
	for i := range all {
		at := start.Add(time.Duration(i) * step)
		sun := hourSunAt(at, place)
		all[i] = sunHour{sun, sun.meanSine(), physics.ExtraterrestrialNormalWM2(float64(at.YearDay()))}
	}
	return all
}

// sumLight goes through the hours of a year with the times moved by steps of the
// sun hours.
func sumLight(rows []Row, suns []sunHour, moved int) (s lightSums) {
	perRow := len(suns) / len(rows)
	for i, r := range rows {
		s.add(r, suns[(perRow*i+moved+len(suns))%len(suns)])
	}
	return s
}

// checkLight refuses a year whose light cannot be, and remarks on one whose
// times seem to be a little off. The hint says what to look for in this kind of
// file.
func checkLight(rows []Row, suns []sunHour, place Place, start time.Time, hint string) (remark string, err error) {
	s := sumLight(rows, suns, 0)
	switch {
	case !(s.globalWh >= leastClearness*s.outsideWh):
		return "", fmt.Errorf("the whole year has %.0f kWh/m2 of light, %.0f %% of what arrives outside the air, and even the cloudiest places get some 30 %%: is the global irradiance there, in W/m2, and is the place right",
			s.globalWh/1000, 100*s.globalWh/s.outsideWh)
	case s.misplaced() > mostMisplaced:
		return "", fmt.Errorf("%.1f %% of the light comes with the sun down and %.1f %% is brighter than the sun outside the air; %s%s",
			100*s.darkWh/s.globalWh, 100*s.tooBrightWh/s.globalWh, fitting(rows, place, start), hint)
	case s.apart() > mostApart:
		return "", fmt.Errorf("hour by hour the global irradiance is %.0f %% off the sum of diffuse and beam times the sine of the sun's elevation; %sare all three columns of one source? %s",
			100*s.apart(), fitting(rows, place, start), hint)
	}
	if s.apart() > noteworthyApart {
		if hours := bestShiftHours(rows, place, start); hours != 0 {
			return "The light of this weather " + fitsWhen(hours) + ": see what its times mean.", nil
		}
	}
	return "", nil
}

// fitting is what an error adds when moving the times would help.
func fitting(rows []Row, place Place, start time.Time) string {
	if hours := bestShiftHours(rows, place, start); hours != 0 {
		return "the light " + fitsWhen(hours) + "; "
	}
	return ""
}

func fitsWhen(hours float64) string {
	way := "later"
	if hours < 0 {
		way = "earlier"
	}
	return fmt.Sprintf("fits the sun of the place best when every time is read %g h %s", math.Abs(hours), way)
}

// bestShiftHours is by how many hours, in halves, the times must be moved for
// the light to follow the sun; zero where no way of moving them takes away most of
// what is off.
func bestShiftHours(rows []Row, place Place, start time.Time) float64 {
	suns := sunHours(place, start, 30*time.Minute)
	off := func(halfHours int) float64 {
		s := sumLight(rows, suns, halfHours)
		return s.misplaced() + s.apart()
	}
	least, best := off(0)/3, 0.0
	for half := -23; half <= 24; half++ { // a day around
		if o := off(half); o < least {
			least, best = o, float64(half)/2
		}
	}
	return best
}
