package dashboard

import (
	"testing"
	"time"
)

func BenchmarkWatch(b *testing.B) {
	d, tk := New(Options{}), troubleTick()
	b.ReportAllocs()
	for b.Loop() {
		d.Watch(tk)
	}
}

func BenchmarkAnswer(b *testing.B) {
	tk := troubleTick()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := keep(tk, time.Time{}).answer(time.Time{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkScrape(b *testing.B) {
	d, e := watching(troubleTick()), newExposition()
	b.ReportAllocs()
	for b.Loop() {
		e.begin()
		e.dashboard(d)
		e.end(allFamilies)
	}
}
