package sensors

// Part is something that hangs on a 1-wire tree.
type Part struct {
	Identity string
	Family   string // what the family code stands for, in words
	// Readable tells whether this program can use the part as a probe.
	Readable bool
	// GenuinePattern tells whether the identity fits those the maker of the
	// DS18B20 gives out: information, no proof and no ground for a refusal.
	// Always false for other parts.
	GenuinePattern bool
}

// Scan lists everything on the tree below root (DefaultOneWireRoot when empty),
// sorted by identity. It asks no part anything: the kernel answers at once. The
// error is a *Fault.
func Scan(root string) ([]Part, error) {
	t := &tree{orDefault(root, DefaultOneWireRoot), &diskFiles{}}
	identities, err := t.identities()
	if err != nil {
		return nil, t.explainRoot(err)
	}
	list := make([]Part, 0, len(identities))
	for _, identity := range identities {
		part := familyOf(identity)
		list = append(list, Part{identity, part.words, part.use == readableThermometer, genuinePattern(identity)})
	}
	return list, nil
}
