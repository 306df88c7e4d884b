package sensors

import (
	"errors"
	"math"
	"testing"
	"time"
)

func TestSimulated(t *testing.T) {
	ownFault := &Fault{Kind: Absent}
	failure := errors.New("pipe burst")
	for name, c := range map[string]struct {
		value float64
		err   error
		want  error
	}{
		"value":        {61.5, nil, nil},
		"not a number": {math.NaN(), nil, Malformed},
		"infinite":     {math.Inf(1), nil, Malformed},
		"own fault":    {61.5, ownFault, Absent},
		"other error":  {61.5, failure, ReadFailed},
		"its cause":    {61.5, failure, failure},
	} {
		probe := NewSimulated(
			func() time.Duration { return 7 * time.Second },
			func() (float64, error) { return c.value, c.err })
		got := probe.Latest()
		if got.Taken != 7*time.Second || got.Never || !errors.Is(got.Fault, c.want) {
			t.Errorf("%s: %+v, want fault %v", name, got, c.want)
		}
		if c.want == nil && got.Value != c.value || c.want != nil && !math.IsNaN(got.Value) {
			t.Errorf("%s: value %g", name, got.Value)
		}
	}
}
