package control

import (
	"encoding/json"
	"testing"
	"time"
	"unsafe"
)

// mostSunFirstBytes is what waiting for the sun may keep of a system.
const mostSunFirstBytes = 16 << 10

// TestProofSunFirstIsSmall: what is remembered, in memory and as it is saved, after
// weeks; and a minute of learning and a plan leave no garbage.
func TestProofSunFirstIsSmall(t *testing.T) {
	h := newWaterHouse(t, sure(99))
	h.days(11)
	s := &h.c.systems[0]
	saved, err := json.Marshal(&s.mem.SunFirst)
	if err != nil {
		t.Fatal(err)
	}
	bytes := int(unsafe.Sizeof(SunFirst{}) + unsafe.Sizeof(outlook{}) + unsafe.Sizeof(tankFigures{}))
	t.Logf("proof: memory of waiting for the sun = %d bytes a system", bytes)
	t.Logf("proof: the same as saved = %d bytes a system", len(saved))
	if max(bytes, len(saved)) > mostSunFirstBytes {
		t.Errorf("%d bytes in memory, %d saved; at most %d", bytes, len(saved), mostSunFirstBytes)
	}
	for what, do := range map[string]func(){
		"a plan":               func() { h.c.planHeater(s) },
		"a minute of learning": func() { h.c.followHabits(s, time.Minute) },
	} {
		if n := testing.AllocsPerRun(500, do); n != 0 {
			t.Errorf("%s makes %g allocations", what, n)
		}
	}
}

// BenchmarkSunFirstFiveMinutes is the work of one plan and the learning until the
// next, which five minutes of steps of a second share.
func BenchmarkSunFirstFiveMinutes(b *testing.B) {
	h := newWaterHouse(b, sure(99))
	h.days(11)
	s := &h.c.systems[0]
	was := s.mem.SunFirst
	b.ReportAllocs()
	for b.Loop() {
		s.mem.SunFirst = was // the same midnight again
		for range planPeriod / time.Minute {
			h.c.followHabits(s, time.Minute)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/planPeriod.Seconds(), "us/tick")
}
