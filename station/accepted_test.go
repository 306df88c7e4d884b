package station

import (
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// copyOn reads the copy that a card holds: the text, or empty when none is whole.
func copyOn(t *testing.T, card *cardDisk) string {
	t.Helper()
	newest, _, _ := placesOf(crashFolder, acceptedName)
	data, err := card.read(newest, acceptedSizeLimit)
	if isMissing(err) {
		return ""
	}
	text, err := unseal(acceptedMagic, acceptedVersion, "the copy", data)
	if err != nil {
		t.Errorf("a copy that is not whole: %v", err)
	}
	return string(text)
}

// TestTheCopyOfTheSiteFileIsWhole: whenever the power goes, the copy is the one of
// before or the new one.
func TestTheCopyOfTheSiteFileIsWhole(t *testing.T) {
	for crash := 1; ; crash++ {
		d := newCardDisk()
		if err := keepAccepted(d, crashFolder, []byte("before")); err != nil {
			t.Fatal(err)
		}
		d.crashAt = d.calls + crash
		err := keepAccepted(d, crashFolder, []byte("after"))
		for _, card := range d.after() {
			got := copyOn(t, card)
			if err == nil && got != "after" || got != "before" && got != "after" {
				t.Errorf("call %d: the copy says %q, error %v", crash, got, err)
			}
		}
		if err == nil {
			return
		}
	}
}

// TestAnOldCopyDoesNotPassForTheNew: where the new one can't be written, the old one
// is gone, since its outputs are no longer those that the program has.
func TestAnOldCopyDoesNotPassForTheNew(t *testing.T) {
	for fail := 1; fail <= 4; fail++ { // create, write, sync, rename
		d := newCardDisk()
		if err := keepAccepted(d, crashFolder, []byte("before")); err != nil {
			t.Fatal(err)
		}
		d.failAt, d.failsBy = d.calls+1+fail, unix.ENOSPC // the first call reads
		if err := keepAccepted(d, crashFolder, []byte("after")); !errors.Is(err, unix.ENOSPC) {
			t.Errorf("call %d: %v", fail, err)
		}
		if got := copyOn(t, d); got != "" && got != "after" {
			t.Errorf("call %d: the copy says %q", fail, got)
		}
	}
}

func TestTheSameCopyIsNotWrittenAgain(t *testing.T) {
	d := newCardDisk()
	for range 2 {
		if err := keepAccepted(d, crashFolder, []byte("site")); err != nil {
			t.Fatal(err)
		}
	}
	if d.saves != 1 {
		t.Errorf("%d saves of one text", d.saves)
	}
}

// hangingDisk does not answer until it is let go.
type hangingDisk struct {
	disk
	gone chan struct{}
}

func (d hangingDisk) read(string, int64) ([]byte, error) {
	<-d.gone
	return nil, unix.EIO
}

// TestACardThatHangsKeepsNoStartBack: the start goes on, and says what is not kept.
func TestACardThatHangsKeepsNoStartBack(t *testing.T) {
	d := hangingDisk{newCardDisk(), make(chan struct{})}
	defer close(d.gone)
	var told logText
	keepAcceptedInTime(d, crashFolder, []byte("site"), time.Nanosecond, slog.New(slog.NewTextHandler(&told, nil)))
	if !strings.Contains(told.String(), "does not answer") {
		t.Errorf("the log says %q", told.String())
	}
}

// TestTheCopyIsForNobodyElse: nobody but the service's user and group reads it, whoever
// may read the site file.
func TestTheCopyIsForNobodyElse(t *testing.T) {
	h := newSpoiltHouse(t)
	h.live()
	path := filepath.Join(h.memory, acceptedName)
	info, err := os.Stat(path)
	h.must(err)
	if info.Mode().Perm()&0o027 != 0 {
		t.Errorf("its mode is %v", info.Mode())
	}
	kept, err := os.ReadFile(path)
	if _, text, _ := strings.Cut(string(kept), "\n"); err != nil || text != h.text {
		t.Errorf("kept is %q (%v), want the site file", text, err)
	}
}
