package sensors

import (
	"context"
	"math"
)

// Found is one part on the tree.
type Found struct {
	Identity string
	Family   string // what the family code stands for, in words
	// Readable tells whether this program can use the part as a probe.
	Readable bool
	// GenuinePattern tells whether the identity fits those the maker of the
	// DS18B20 gives out: information, no proof and no ground for a refusal.
	// Always false for other parts.
	GenuinePattern bool
	ValueC         float64 // °C; not-a-number when Fault is not nil
	Fault          error   // a *Fault, or nil
	Raw            string  // the nine bytes, empty when there were none
	ResolutionBits int     // 9 to 12, 0 when not known
}

// Scan lists everything on the tree below root (DefaultOneWireRoot when
// empty), sorted by identity, and reads each probe once; at about 0.8 s each.
// A record that looks like the power-on one is refused here for want of a
// history: scan again. The error is a *Fault when the tree cannot be listed,
// or ctx.Err(); like a Bus it returns promptly then and leaves at most one
// read behind.
func Scan(ctx context.Context, root string) ([]Found, error) {
	t := &tree{orDefault(root, DefaultOneWireRoot), &diskFiles{}}
	type outcome struct {
		found []Found
		err   error
	}
	done := make(chan outcome, 1)
	go func() {
		found, err := t.scan(ctx)
		done <- outcome{found, err}
	}()
	select {
	case o := <-done:
		return o.found, o.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func (t *tree) scan(ctx context.Context) ([]Found, error) {
	identities, err := t.identities()
	if err != nil {
		return nil, t.explainRoot(err)
	}
	list := make([]Found, 0, len(identities))
	for _, identity := range identities {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		list = append(list, t.look(identity))
	}
	return list, nil
}

func (t *tree) look(identity string) Found {
	part := familyOf(identity)
	found := Found{
		Identity:       identity,
		Family:         part.words,
		Readable:       part.use == readableThermometer,
		GenuinePattern: genuinePattern(identity),
		ValueC:         math.NaN(),
	}
	if !found.Readable {
		found.Fault = faultf(Unsupported, "%s", part.words)
		return found
	}
	rec, fault := t.record(identity)
	var fresh history
	sample := fresh.judge(rec, fault, 0)
	found.ValueC, found.Fault, found.Raw = sample.Value, sample.Fault, sample.Raw
	if rec != nil {
		if steps, known := resolutionOf(rec.bytes[4]); known && rec.checkTransfer() == nil {
			found.ResolutionBits = steps.bits
		}
	}
	return found
}
