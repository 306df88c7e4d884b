package site

import (
	"strconv"
	"strings"
)

// maxText is the longest text a key may hold, in bytes.
const maxText = 400

// shorten keeps messages to a length that a person reads.
func shorten(text string) string {
	runes := []rune(text)
	if len(runes) > 120 {
		return string(runes[:117]) + "..."
	}
	return text
}

// shortKey is a key as messages show it: odd signs are made visible.
func shortKey(key string) string {
	key = shorten(key)
	quoted := strconv.Quote(key)
	if inner := quoted[1 : len(quoted)-1]; inner != key {
		return inner
	}
	return key
}

// quotedList is: "a", "b" or "c".
func quotedList(words []string) string {
	quoted := make([]string, len(words))
	for i, word := range words {
		quoted[i] = strconv.Quote(word)
	}
	return orList(quoted)
}

// orList is: a, b or c.
func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// andList is: a, b and c.
func andList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// numbered puts a running figure in the place of #.
func numbered(text string, n int) string {
	return strings.ReplaceAll(text, "#", strconv.Itoa(n))
}
