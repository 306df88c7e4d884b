package actuators

import (
	"sync"
	"testing"

	"periph.io/x/conn/v3/gpio"
)

// fakeChip stands for a GPIO chip of the kernel.
type fakeChip struct {
	nameText, labelText string
	infos               []lineInfo
	refuse              error // what a request gives
	set                 *fakeSet
	input               *fakeInput
}

func (c *fakeChip) name() string      { return c.nameText }
func (c *fakeChip) label() string     { return c.labelText }
func (c *fakeChip) lines() []lineInfo { return c.infos }

func (c *fakeChip) request(lines []lineInfo) (lineSet, error) {
	if c.refuse != nil {
		return nil, c.refuse
	}
	c.set.requested = lines
	c.set.levels = 0 // the kernel drives low as it hands the lines over
	return c.set, nil
}

func (c *fakeChip) requestInput(line lineInfo) (inputSet, error) {
	if c.refuse != nil {
		return nil, c.refuse
	}
	c.input.requested = line
	return c.input, nil
}

// lineChange is one change of a line's level.
type lineChange struct {
	bit gpio.GPIOValue
	on  bool
}

// fakeSet stands for requested output lines. It fails the test when the lines
// are read outside a read-back, or touched after they were given back.
type fakeSet struct {
	t         testing.TB
	mu        sync.Mutex
	requested []lineInfo
	levels    gpio.GPIOValue
	changes   []lineChange
	writes    int
	releases  int
	mayRead   bool
	reads     int
	spike     gpio.GPIOValue                        // bits that read wrong once
	failOut   func(bits, mask gpio.GPIOValue) error // nil: every write works
	failRead  error
	failClose error
}

func (s *fakeSet) Out(bits, mask gpio.GPIOValue) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.releases > 0 {
		s.t.Errorf("lines written after they were given back")
	}
	if mask == 0 {
		s.t.Errorf("mask 0 means every line to the library: name the lines")
	}
	if bits&^mask != 0 {
		s.t.Errorf("bits %b outside the mask %b", bits, mask)
	}
	s.writes++
	if s.failOut != nil {
		if err := s.failOut(bits, mask); err != nil {
			return err
		}
	}
	s.become(s.levels&^mask | bits)
	return nil
}

// become takes the new levels over and notes each change.
func (s *fakeSet) become(levels gpio.GPIOValue) {
	for i := range mostLines {
		bit := gpio.GPIOValue(1) << i
		if (s.levels^levels)&bit != 0 {
			s.changes = append(s.changes, lineChange{bit, levels&bit != 0})
		}
	}
	s.levels = levels
}

func (s *fakeSet) Read(mask gpio.GPIOValue) (gpio.GPIOValue, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.mayRead {
		s.t.Errorf("output lines read outside a read-back")
	}
	if s.releases > 0 {
		s.t.Errorf("lines read after they were given back")
	}
	s.reads++
	got := (s.levels ^ s.spike) & mask
	s.spike = 0
	return got, s.failRead
}

func (s *fakeSet) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.releases++
	return s.failClose
}

func (s *fakeSet) level(bit gpio.GPIOValue) float64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.levels&bit != 0 {
		return 1
	}
	return 0
}

// otherHand sets levels as a program does that maps the pins into its memory.
func (s *fakeSet) otherHand(levels gpio.GPIOValue) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.levels = levels
}

func (s *fakeSet) setFailOut(fail func(bits, mask gpio.GPIOValue) error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.failOut = fail
}

// newFakeChip has lines RELAY0 to RELAY3 and one without a label.
func newFakeChip(t testing.TB) *fakeChip {
	return &fakeChip{
		nameText: "gpiochip0", labelText: "pinctrl-test", set: &fakeSet{t: t},
		infos: []lineInfo{
			{offset: 0, label: "RELAY0"}, {offset: 1, label: "RELAY1"},
			{offset: 2, label: "RELAY2"}, {offset: 3, label: "RELAY3"}, {offset: 4},
		},
	}
}

// fakeBank is an open bank with a pump, a heater and a valve (bits 0 to 2).
func fakeBank(t testing.TB) (*RelayBank, *fakeSet) {
	t.Helper()
	c := newFakeChip(t)
	bank, err := openBank([]chip{c}, "gpiochip0", []RelayLine{
		{Name: "loop_pump", Line: "RELAY0"},
		{Name: "backup_heater", Line: "RELAY1", Heats: true},
		{Name: "valve", Line: "2"},
	})
	if err != nil {
		t.Fatal(err)
	}
	return bank, c.set
}

func relayOf(t testing.TB, bank *RelayBank, name string) *Relay {
	t.Helper()
	r, err := bank.Relay(name)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
