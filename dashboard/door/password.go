package door

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/bcrypt"
)

// Bounds of a password. Beyond 72 bytes bcrypt would not look.
const (
	leastPassword = 12 // letters
	mostPassword  = 72 // bytes
	leastVariety  = 6  // different letters
)

// Hash makes the bcrypt hash of a new password for a name, as the web
// configuration wants it. One that is soon guessed is refused.
func Hash(name, password string) (string, error) {
	if err := goodPassword(name, password); err != nil {
		return "", err
	}
	hash, err := bcrypt.GenerateFromPassword([]byte(password), leastCost)
	return string(hash), err
}

// Line is a line of the web configuration, under basic_auth_users.
func Line(name, hash string) string { return fmt.Sprintf("  %q: %s\n", name, hash) }

// passwordFault is what is wrong with a new password.
type passwordFault uint8

const (
	passwordUntypeable passwordFault = iota
	passwordShort
	passwordLong
	passwordDull
	passwordHasName
	numPasswordFaults
)

// Error says it with what to do.
func (f passwordFault) Error() string {
	return [...]string{
		passwordUntypeable: "the password holds something that can't be typed; use letters, figures, signs and blanks",
		passwordShort:      fmt.Sprintf("the password has less than %d letters; take a longer one, such as four words that nobody would put together", leastPassword),
		passwordLong:       fmt.Sprintf("the password has more than %d bytes; take a shorter one", mostPassword),
		passwordDull:       fmt.Sprintf("the password has less than %d different letters, and is soon guessed; take another one", leastVariety),
		passwordHasName:    "the password holds the name, and is soon guessed; take another one",
	}[f]
}

func goodPassword(name, password string) error {
	switch {
	case !utf8.ValidString(password) || strings.ContainsAny(password, "\x00\r\n"):
		return passwordUntypeable
	case utf8.RuneCountInString(password) < leastPassword:
		return passwordShort
	case len(password) > mostPassword:
		return passwordLong
	case variety(password) < leastVariety:
		return passwordDull
	case name != "" && strings.Contains(strings.ToLower(password), strings.ToLower(name)):
		return passwordHasName
	}
	return nil
}

func variety(text string) int {
	letters := map[rune]struct{}{}
	for _, r := range strings.ToLower(text) {
		letters[r] = struct{}{}
	}
	return len(letters)
}

// hash is Hash, one at a time.
func (k *keeper) hash(name, password string) (string, error) {
	k.computing.Lock()
	defer k.computing.Unlock()
	return Hash(name, password)
}

// lookNow makes the keeper look at its files the next time it is asked.
func (k *keeper) lookNow() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.seen = nil
}

// sentence writes an error as one.
func sentence(err error) string {
	text := err.Error()
	return strings.ToUpper(text[:1]) + text[1:] + "."
}
