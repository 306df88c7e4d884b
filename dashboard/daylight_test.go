package dashboard

import (
	"testing"
	"time"

	"sunstoker/control"
)

// Rome's sun: the times of the physics room, which are held against an ephemeris
// there, to the minute.
func TestDaylight(t *testing.T) {
	rome := control.Plan{LatitudeDeg: 41.9, LongitudeDeg: 12.5, Zone: time.FixedZone("Europe/Rome", 3600)}
	north := control.Plan{LatitudeDeg: 78.2, LongitudeDeg: 15.6}
	east := control.Plan{LatitudeDeg: -41.3, LongitudeDeg: 174.8, Zone: time.FixedZone("Pacific/Auckland", 12*3600)}
	cases := []struct {
		name  string
		plan  control.Plan
		at    string
		up    knowledge
		rises string
	}{
		{"noon", rome, "2026-02-19T12:00:00+01:00", yes, ""},
		{"evening", rome, "2026-02-19T18:47:00+01:00", no, "06:58"},
		{"after midnight", rome, "2026-02-20T03:00:00+01:00", no, "06:58"},
		{"on the other side, morning", east, "2026-06-21T07:00:00+12:00", no, "07:46"},
		{"on the other side, noon", east, "2026-06-21T12:00:00+12:00", yes, ""},
		{"midnight sun", north, "2026-06-21T00:00:00Z", yes, ""},
		{"polar night", north, "2026-12-21T12:00:00Z", no, ""},
	}
	for _, c := range cases {
		at, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		if up, rises := daylight(&c.plan, control.Wall{Time: at, Trusted: true}); up != c.up || rises != c.rises {
			t.Errorf("%s: up %v, rises %q; want %v, %q", c.name, up, rises, c.up, c.rises)
		}
		if up, rises := daylight(&c.plan, control.Wall{Time: at}); up != unknown || rises != "" {
			t.Errorf("%s: with a clock that is not set up is %v, rises %q", c.name, up, rises)
		}
	}
}
