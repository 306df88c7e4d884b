package sensors

import (
	"context"
	"slices"
)

// pass asks every probe once; the reading goroutine alone calls it.
func (b *OneWire) pass(ctx context.Context) {
	b.guard(nil, func() { b.lookForStrangers(ctx) })
	if b.options.OneConversionForAll {
		b.guard(nil, func() { b.convertAll(ctx) })
	}
	for _, p := range b.probes {
		if ctx.Err() != nil {
			return
		}
		b.guard(p, func() { b.ask(ctx, p) })
	}
}

func (b *OneWire) ask(ctx context.Context, p *oneWireProbe) {
	if !b.options.OneConversionForAll {
		b.bulk.awaitOthers(ctx)
	}
	taken := b.clock.Now()
	rec, fault := b.tree.record(p.identity)
	if ctx.Err() != nil {
		return // Run has returned; nothing may change behind its back
	}
	if rec != nil && p.converted {
		taken, p.converted = p.convertedAt, false
	}
	p.publish(p.history.judge(rec, fault, taken))
}

func (b *OneWire) lookForStrangers(ctx context.Context) {
	found, err := b.tree.identities()
	if ctx.Err() != nil {
		return
	}
	if err != nil {
		found = nil // each probe reports it with its own fault
	}
	found = slices.DeleteFunc(found, func(identity string) bool {
		return b.find(identity) != nil || familyOf(identity).use == otherPart
	})
	b.strangers.Store(&found)
}
