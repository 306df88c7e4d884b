package history

import "time"

// tier is one fineness in which everything is kept.
type tier struct {
	table string // of the file
	span  int64  // seconds of a row
	words string // "minutes"
}

// tiers, finest first. Each row is made of the rows of the tier above it in this
// list. Hours and days cost little and make charts of years quick.
var tiers = [...]tier{
	{"minutes", 60, "minutes"},
	{"quarter_hours", 15 * 60, "quarter hours"},
	{"hours", 3600, "hours"},
	{"days", 24 * 3600, "days"},
}

// Places in tiers.
const (
	minuteTier = iota
	quarterTier
	hourTier
	dayTier
)

// Usual times for which things are kept.
const (
	UsualMinutesFor = 90 * 24 * time.Hour
	UsualAllFor     = 7305 * 24 * time.Hour // 20 years
)
