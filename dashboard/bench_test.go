package dashboard

import (
	"testing"
	"time"

	"sunstoker/dashboard/door"
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
		if _, err := keep(tk, time.Time{}).answer(time.Time{}, door.See); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkScrape(b *testing.B) {
	r := watching(troubleTick()).registry()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Gather(); err != nil {
			b.Fatal(err)
		}
	}
}
