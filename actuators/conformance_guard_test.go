package actuators_test

import (
	"context"
	"log/slog"
	"path/filepath"
	"testing"

	"sunstoker/actuators"
	"sunstoker/actuators/guard"
)

// An output that a guard holds keeps the promises of every output.
func TestConformanceThroughAGuard(t *testing.T) {
	actuators.Conform(t, func(t *testing.T, inner actuators.Output) actuators.Output {
		path := filepath.Join(t.TempDir(), "guard")
		l, err := guard.Listen(path)
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		done := make(chan error, 1)
		g := guard.New(guard.Options{Outputs: []guard.Output{{Wiring: "loop pump", Output: inner}}, Log: slog.New(slog.DiscardHandler)})
		go func() { done <- g.Serve(ctx, l) }()
		t.Cleanup(func() {
			cancel()
			<-done
		})
		return guard.NewClient(path, []string{"loop pump"}).Output(0)
	})
}
