package sensorstest

import (
	"testing"

	"sunstoker/sensors/wiretree"
)

// Tree is a folder shaped like /sys/bus/w1/devices that a test writes.
type Tree struct {
	wiretree.Tree
	t testing.TB
}

// NewTree makes an empty tree that is removed with the test.
func NewTree(t testing.TB) *Tree {
	t.Helper()
	return &Tree{wiretree.Tree{Root: t.TempDir()}, t}
}

// Put is [wiretree.Tree.Put] that must not fail, as the others are.
func (tr *Tree) Put(identity, text string) {
	tr.t.Helper()
	tr.must(tr.Tree.Put(identity, text))
}

// PutC makes a probe answer with a temperature in °C.
func (tr *Tree) PutC(identity string, tempC float64) {
	tr.t.Helper()
	tr.must(tr.Tree.PutC(identity, tempC))
}

// Remove lets a probe vanish with its folder.
func (tr *Tree) Remove(identity string) {
	tr.t.Helper()
	tr.must(tr.Tree.Remove(identity))
}

// Hang holds up whoever reads a probe.
func (tr *Tree) Hang(identity string) {
	tr.t.Helper()
	tr.must(tr.Tree.Hang(identity))
}

func (tr *Tree) must(err error) {
	tr.t.Helper()
	if err != nil {
		tr.t.Fatal(err)
	}
}
