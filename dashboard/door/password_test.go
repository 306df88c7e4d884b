package door

import (
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/bcrypt"
)

func TestPasswords(t *testing.T) {
	for password, words := range map[string]string{
		"elevenchars":                 "less than 12 letters",
		"twelve chars":                "",
		"ключ от солнца":              "",
		"日の当たる屋根の上の水":                 "less than 12 letters",
		"     dots and blanks     ":   "",
		strings.Repeat("abcdef", 12):  "",
		strings.Repeat("abcdef", 13):  "more than 72 bytes",
		"ababababababab":              "different letters",
		"not Anna, of all people":     "holds the name",
		"a line\nand another line":    "can't be typed",
		"half a letter \xff\xff here": "can't be typed",
	} {
		err := goodPassword("anna", password)
		if (words == "") != (err == nil) || err != nil && !strings.Contains(err.Error(), words) {
			t.Errorf("%q: %v", password, err)
		}
	}
	hash, err := Hash("anna", annasPassword)
	if err != nil {
		t.Fatal(err)
	}
	if cost, err := bcrypt.Cost([]byte(hash)); cost != leastCost || err != nil {
		t.Errorf("cost %d, %v", cost, err)
	}
	if hash == hashes()["anna"] {
		t.Error("two hashes of one password are the same: there is no salt")
	}
	long := strings.Repeat("abcdef", 12)
	if hash, err = Hash("anna", long); err != nil {
		t.Fatal(err)
	}
	if bcrypt.CompareHashAndPassword([]byte(hash), []byte(long[:71])) == nil {
		t.Error("the end of a long password is cut off")
	}
}

// TestBoundsOfTriesKeepBelowAHundredAnHour: OWASP ASVS 4.0.3, 2.2.1 (from memory).
func TestBoundsOfTriesKeepBelowAHundredAnHour(t *testing.T) {
	var tries tries
	now, taken := time.Unix(0, 0), 0
	for range 3600 {
		now = now.Add(time.Second)
		for tries.takeShared(now) == 0 {
			taken++
		}
	}
	if taken >= 100 {
		t.Errorf("%d wrong tries in an hour", taken)
	}
}
