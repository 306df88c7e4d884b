package door

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"errors"
	"log/slog"
	"net/http"
	"net/netip"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"golang.org/x/crypto/bcrypt"
)

// lookAgain is how often the files are looked at for changes, at most.
const lookAgain = time.Second

// mostRemembered bounds the right passwords that are remembered.
const mostRemembered = 64

// keeper knows who has a password. It follows changes of the web configuration
// without a restart; one that can't be read changes nothing, and is told of.
type keeper struct {
	path  string
	now   func() time.Time
	log   *slog.Logger
	tries tries

	computing sync.Mutex // one password is computed at a time
	compare   func(hash, password []byte) error

	mu      sync.Mutex
	newest  *known
	looked  time.Time
	seen    []stamp // of the files at the last reading, good or bad
	trouble error   // of the last reading; nil when it was a good one
}

// known is one web configuration with what was found out since it was read.
type known struct {
	*web
	counts context.Context // ends when a newer one is there
	end    context.CancelFunc

	key [32]byte // of the digests
	mu  sync.Mutex
	// digests of names with their right passwords, and where they came from
	right map[[sha256.Size]byte]struct{}
}

// stamp tells whether a file has changed.
type stamp struct {
	path string
	size int64
	at   time.Time
	mode os.FileMode
}

func stampOf(path string) stamp {
	info, err := os.Stat(path)
	if err != nil {
		return stamp{path: path}
	}
	return stamp{path, info.Size(), info.ModTime(), info.Mode()}
}

func newKeeper(path string, now func() time.Time, log *slog.Logger) *keeper {
	return &keeper{path: path, now: now, log: log, compare: bcrypt.CompareHashAndPassword}
}

// known gives the newest web configuration; an error when there is none that
// can be used, errNoWebFile when there is none at all.
func (k *keeper) known() (*known, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if now := k.now(); k.seen == nil || now.Sub(k.looked) >= lookAgain || now.Before(k.looked) {
		k.looked = now
		k.look()
	}
	if k.newest == nil {
		return nil, k.trouble
	}
	return k.newest, nil
}

// look reads the files when they have changed, or were not read well: a trouble
// may be cured in a file that could not be known yet. The lock is held.
func (k *keeper) look() {
	files := []string{k.path}
	if k.newest != nil {
		files = k.newest.files
	}
	var stamps []stamp
	for _, file := range files {
		stamps = append(stamps, stampOf(file))
	}
	if k.trouble == nil && slices.Equal(stamps, k.seen) {
		return
	}
	w, err := readWeb(k.path)
	if err == nil && k.newest != nil {
		err = w.lessThan(k.newest.web)
	}
	switch {
	case err != nil:
		k.seen = stamps
		if k.newest != nil && (k.trouble == nil || k.trouble.Error() != err.Error()) {
			k.log.Error("the web configuration can't be read anew; the one of before counts until it can", "error", err)
		}
	case k.newest != nil:
		k.log.Info("the web configuration was read anew", "file", k.path, "users", w.names())
		fallthrough
	default:
		k.take(w)
	}
	k.trouble = err
}

// take puts a newer configuration in the place of the last one. The lock is held.
func (k *keeper) take(w *web) {
	n := &known{web: w, right: map[[sha256.Size]byte]struct{}{}}
	n.counts, n.end = context.WithCancel(context.Background())
	rand.Read(n.key[:]) // never fails
	if k.newest != nil {
		k.newest.end()
	}
	k.newest, k.seen = n, nil
	for _, file := range w.files {
		k.seen = append(k.seen, stampOf(file))
	}
}

// digest stands for a name with a password that come from an address, without
// telling of any. The address is in it so that nobody elsewhere can find out by
// cheap guesses what is remembered.
func (n *known) digest(name, password string, from netip.Prefix) (d [sha256.Size]byte) {
	mac := hmac.New(sha256.New, n.key[:])
	for _, part := range []string{name, from.String(), password} {
		mac.Write([]byte(part))
		mac.Write([]byte{0})
	}
	mac.Sum(d[:0])
	return d
}

func (n *known) remembers(d [sha256.Size]byte) bool {
	n.mu.Lock()
	defer n.mu.Unlock()
	_, is := n.right[d]
	return is
}

func (n *known) remember(d [sha256.Size]byte) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if len(n.right) >= mostRemembered {
		clear(n.right) // each has to be computed once more
	}
	n.right[d] = struct{}{}
}

// nobodysHash is computed for names that nobody has, so that the time tells
// nothing: the hash of random bytes that were not kept.
const nobodysHash = "$2a$10$d/lMS/a.yRKCHhXdfeelzuPhetsFYLjGjlP7SQv7vr05f7vmqlCj2"

// errWrong tells that name and password don't belong together; errWait that none
// can be tried yet.
var errWrong = errors.New("name and password don't belong together")

type errWait struct{ time.Duration }

func (e errWait) Error() string {
	return "too many wrong passwords came from here; try again in a while"
}

// check finds out whether a name has this password.
func (k *keeper) check(n *known, name, password string, from netip.Prefix) error {
	now := k.now()
	if wait := k.tries.takeOwn(from, now); wait > 0 {
		return errWait{wait}
	}
	if strings.ContainsRune(name+password, 0) { // nobody's, and digests could be mistaken for each other
		return errWrong
	}
	d := n.digest(name, password, from)
	if n.remembers(d) {
		k.tries.giveBackOwn(from, now)
		return nil
	}
	if wait := k.tries.takeShared(now); wait > 0 {
		return errWait{wait}
	}
	hash, is := n.users[name]
	if !is {
		hash = []byte(nobodysHash)
	}
	k.computing.Lock()
	err := k.compare(hash, []byte(password))
	k.computing.Unlock()
	if err != nil || !is {
		return errWrong
	}
	n.remember(d)
	k.tries.giveBackOwn(from, now)
	k.tries.giveBackShared()
	return nil
}

// credentials gives name and password of a request, if it has any.
func credentials(r *http.Request) (name, password string, there bool) {
	if len(r.Header["Authorization"]) == 0 {
		return "", "", false
	}
	name, password, _ = r.BasicAuth() // what can't be read is wrong
	return name, password, true
}
