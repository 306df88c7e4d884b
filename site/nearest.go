package site

// Nearest gives the name that differs least from a wrong one, or "" when none
// is near.
func Nearest(wrong string, names []string) string {
	best, bestDistance := "", 1<<30
	for _, name := range names {
		if d := distance(wrong, name); d < bestDistance {
			best, bestDistance = name, d
		}
	}
	if bestDistance > max(1, min(len(wrong), len(best))/3) {
		return ""
	}
	return best
}

// distance counts the letters to add, drop, change or swap with their
// neighbour. Source: Damerau (1964) and Levenshtein (1966), in the restricted
// form that swaps a pair once. Names too long to be a slip are far away.
func distance(a, b string) int {
	if len(a) > 40 || len(b) > 40 {
		return 1 << 20
	}
	var before, above, row [42]int
	for j := range len(b) + 1 {
		above[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := above[j-1]
			if lower(a[i-1]) != lower(b[j-1]) {
				change++
			}
			row[j] = min(change, above[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above = above, row
	}
	return above[len(b)]
}

// lower also takes a dash for the underscore it was meant to be.
func lower(c byte) byte {
	switch {
	case c >= 'A' && c <= 'Z':
		return c + 'a' - 'A'
	case c == '-' || c == ' ':
		return '_'
	}
	return c
}
