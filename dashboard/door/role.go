package door

// Role is what a person may do. The roles are ordered: who may install may use,
// and who may use may see.
type Role uint8

// The roles, least first.
const (
	Nobody  Role = iota // may not even see
	See                 // look at readings, decisions, findings and history
	Use                 // what people who live in the house ask for: boost, holiday
	Install             // what takes a person who knows the plant: override, service state, settings
)

var roleNames = [...]string{Nobody: "nothing", See: "see", Use: "use", Install: "install"}

// String gives the word that the site file uses.
func (r Role) String() string {
	if int(r) < len(roleNames) {
		return roleNames[r]
	}
	return "unknown"
}

// May tells whether somebody with this role may do what takes another.
func (r Role) May(need Role) bool { return r >= need && need <= Install }
