package weather

import (
	"time"

	"sunstoker/physics"
)

// Field is the way a collector field looks at the sky.
type Field struct {
	Plane     physics.Plane
	Collector physics.Collector // for its incidence-angle modifier
	Albedo    float64           // reflectance of the ground before it, 0 to 1; 0.2 is usual
}

// OnField is the light on a collector plane.
type OnField struct {
	IrradianceWM2 float64 // all light on the plane
	AbsorbableWM2 float64 // after the incidence-angle modifier of each part
}

// On turns the light on the level into light on the field's plane.
//
// Source: the Reindl sky (Duffie and Beckman, sections 2.15 and 2.16) and the
// equivalent angles of Brandemuehl and Beckman (1980) for diffuse light, all
// from package physics.
func (f Field) On(light physics.Irradiance, sun physics.SunPosition, yearDay int) OnField {
	if !(light.GlobalHorizontalWM2 > 0) {
		return OnField{}
	}
	outside := physics.ExtraterrestrialNormalWM2(float64(yearDay))
	parts := f.Plane.On(light, sun, outside, f.Albedo, physics.SkyReindl)
	beam := f.Collector.BeamModifier(f.Plane.Incidence(sun))
	sky := f.Collector.BeamModifier(physics.DiffuseSkyAngleDeg(f.Plane.TiltDeg))
	ground := f.Collector.BeamModifier(physics.DiffuseGroundAngleDeg(f.Plane.TiltDeg))
	return OnField{
		IrradianceWM2: parts.TotalWM2(),
		AbsorbableWM2: parts.BeamWM2*beam + parts.SkyWM2*sky + parts.GroundWM2*ground,
	}
}

// Slot is the weather of a short span, ready for the plants.
type Slot struct {
	Sample
	OnFields []OnField // one for each field, in their order
}

// Table holds a day of weather in slots of even length, so that a simulation
// with short steps works out the sky once per slot. It fills itself as time
// goes on and allocates nothing after NewTable. Each slot holds the weather of
// its middle.
type Table struct {
	source Source
	fields []Field
	slot   time.Duration
	from   time.Time // start of the day in the table
	slots  []Slot
}

// tableSpan is how much a table holds at a time.
const tableSpan = 24 * time.Hour

// NewTable makes a table. The slot must divide a day evenly; 1 to 5 minutes is
// a good choice: 5 for hourly files, 1 for weather with passing clouds. It
// panics on a slot that does not divide a day, a mistake of the program.
func NewTable(source Source, fields []Field, slot time.Duration) *Table {
	if slot <= 0 || tableSpan%slot != 0 {
		panic("weather: a slot must divide a day evenly")
	}
	t := &Table{source: source, fields: fields, slot: slot, slots: make([]Slot, tableSpan/slot)}
	all := make([]OnField, len(t.slots)*len(fields))
	for i := range t.slots {
		t.slots[i].OnFields = all[i*len(fields) : (i+1)*len(fields)]
	}
	return t
}

// At returns the slot that holds the instant and when the next one begins. The
// slot is overwritten when another day is asked for.
func (t *Table) At(utc time.Time) (slot *Slot, next time.Time) {
	into := utc.Sub(t.from)
	if t.from.IsZero() || into < 0 || into >= tableSpan {
		t.fill(utc.Truncate(tableSpan))
		into = utc.Sub(t.from)
	}
	i := int(into / t.slot)
	return &t.slots[i], t.from.Add(time.Duration(i+1) * t.slot)
}

// sunlit is a Source that needs the sun to answer. It is spared the work where
// the caller knows the sun already.
type sunlit interface {
	atSun(utc time.Time, sun physics.SunPosition) Sample
}

func (t *Table) fill(from time.Time) {
	t.from = from
	place := t.source.Place()
	lit, needsSun := t.source.(sunlit)
	for i := range t.slots {
		middle := from.Add(time.Duration(i)*t.slot + t.slot/2)
		s := &t.slots[i]
		var sun physics.SunPosition
		if needsSun {
			sun = physics.SunAt(middle, place.LatitudeDeg, place.LongitudeDeg)
			s.Sample = lit.atSun(middle, sun)
		} else {
			s.Sample = t.source.At(middle)
		}
		if s.GlobalHorizontalWM2 == 0 {
			clear(s.OnFields)
			continue
		}
		if !needsSun {
			sun = physics.SunAt(middle, place.LatitudeDeg, place.LongitudeDeg)
		}
		for j, f := range t.fields {
			s.OnFields[j] = f.On(s.Irradiance, sun, middle.YearDay())
		}
	}
}
