package sim

import (
	"fmt"
	"math"
	"time"

	"sunstoker/sim/noise"
)

// UsualStepK is the resolution of a common digital probe at 12 bits, in K
// (DS18B20 datasheet, Table 1).
const UsualStepK = 0.0625

// ProbeConfig describes a probe. The zero one reads the truth.
type ProbeConfig struct {
	Name         string        // unique in the house, whole words
	System       int           // index of the system it belongs to
	Place        string        // one of Places
	Lag          time.Duration // time constant of its first-order lag
	NoiseK       float64       // standard deviation of a reading
	NoiseShare   float64       // the same as a share of the reading, for meters that are still at zero
	BiasK        float64       // constant error
	DriftKPerDay float64       // error that grows from the start on
	StepK        float64       // resolution; 0 for none
	Seed         uint64        // of the noise
}

// Validate returns an error that names what is out of range.
func (c ProbeConfig) Validate() error {
	for _, r := range []struct {
		what             string
		value, low, high float64
	}{
		{"lag in s", c.Lag.Seconds(), 0, 3600},
		{"noise in K", c.NoiseK, 0, 100},
		{"noise as a share", c.NoiseShare, 0, 1},
		{"bias in K", c.BiasK, -200, 200},
		{"drift in K a day", c.DriftKPerDay, -50, 50},
		{"resolution in K", c.StepK, 0, 20},
	} {
		if !(r.value >= r.low && r.value <= r.high) {
			return fmt.Errorf("sim: probe %q: the %s is %g; give %g to %g", c.Name, r.what, r.value, r.low, r.high)
		}
	}
	return nil
}

// Probe turns the truth at a place into readings: lag, then bias and drift,
// then noise, then resolution, then whatever is broken.
type Probe struct {
	config    ProbeConfig
	truth     func() float64
	elsewhere func() float64 // what it reads out of its pocket
	sunWM2    func() float64 // on level ground; nil outside of a house
	roomC     func() float64 // nil outside of a house
	random    noise.Stream
	fault     probeFault
	sound     bool    // no fault and no drift: see Read
	perStep   float64 // 1/StepK; 0 without steps
	noiseK    float64 // of config and fault together
	lagged    lagged

	started  bool
	lastRead time.Duration
	feltC    float64 // temperature of the probe's own body
	lastC    float64 // last reading given out
	frozenC  float64
	readings int // since the start
}

// lagged is how far a probe's body gets in the time between two readings, which
// is nearly always the same.
type lagged struct {
	since time.Duration
	share float64
}

// probeFault is what is broken about a probe; zero is sound.
type probeFault struct {
	missing, pulledOut bool
	frozen, shorted    bool
	frozenAtC, shortC  float64 // frozenAtC is NaN for the last reading
	noiseK, biasK      float64
	driftKPerDay       float64
	driftFrom          time.Duration
	reads              *Probe  // the probe whose place it reads instead of its own
	powerUpEvery       int     // one reading in so many is the power-up value
	surgeK             float64 // size of single wild readings
	sunK               float64 // error at 1000 W/m²
	wallShare          float64 // part of the room in what it feels
	humK               float64 // swing of a wave that all probes of the bus have
}

const (
	// powerUpC is the value of a digital probe before its first conversion
	// (DS18B20 datasheet).
	powerUpC = 85
	// surgeEvery is how many readings pass between two wild ones.
	surgeEvery = 12
	// humPeriod is the slow wave that readings once a second make of a mains hum
	// that is not quite in step with them (aliasing; the period is invented).
	humPeriod = 47 * time.Second
)

// NewProbe makes a probe of any two temperatures in degC: the truth at its
// place and the truth where it hangs when it has slipped out.
func NewProbe(c ProbeConfig, truth, elsewhere func() float64) (*Probe, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	p := &Probe{config: c, truth: truth, elsewhere: elsewhere, random: noise.NewStream(noise.Derive(c.Seed, c.Name))}
	if c.StepK > 0 {
		p.perStep = 1 / c.StepK
	}
	p.setFault(probeFault{})
	return p, nil
}

// AddProbe puts a probe at a place of the house. Faults reach it by its name.
func (h *House) AddProbe(c ProbeConfig) (*Probe, error) {
	if _, err := h.Probe(c.Name); c.Name == "" || err == nil {
		return nil, fmt.Errorf("sim: the probe name %q is empty or used twice", c.Name)
	}
	at, err := placeNamed(c.Place)
	if err != nil {
		return nil, fmt.Errorf("sim: probe %q: %w", c.Name, err)
	}
	truth, err := h.TruthAt(c.System, c.Place)
	if err != nil {
		return nil, fmt.Errorf("sim: probe %q: %w", c.Name, err)
	}
	elsewhere, err := h.TruthAt(c.System, at.elsewhere)
	if err != nil {
		return nil, fmt.Errorf("sim: probe %q: %w", c.Name, err)
	}
	p, err := NewProbe(c, truth, elsewhere)
	if err != nil {
		return nil, err
	}
	p.sunWM2 = func() float64 { return h.sky.GlobalHorizontalWM2 }
	p.roomC = func() float64 { return h.config.RoomC }
	h.probes = append(h.probes, p)
	return p, nil
}

// Probe is the probe of a name.
func (h *House) Probe(name string) (*Probe, error) {
	for _, p := range h.probes {
		if p.config.Name == name {
			return p, nil
		}
	}
	return nil, fmt.Errorf("sim: the house has no probe %q", name)
}

// Read takes a reading in degC at an elapsed time; ok is false when the probe
// gives none. The lag runs from reading to reading with the truth of the later
// one. Reading again at the same time gives new noise on the same temperature.
func (p *Probe) Read(elapsed time.Duration) (valueC float64, ok bool) {
	if !p.sound {
		return p.readAll(elapsed)
	}
	// Nothing is added to the truth but lag, bias, noise and resolution: half of
	// the work. Long simulations live on it.
	since := elapsed - p.lastRead
	if p.config.Lag == 0 || !p.started || since != p.lagged.since {
		p.follow(elapsed)
	} else {
		p.feltC += (p.truth() - p.feltC) * p.lagged.share
		p.lastRead = elapsed
	}
	p.readings++
	valueC = p.feltC + p.config.BiasK
	if p.noiseK > 0 {
		valueC += p.noiseK * p.random.Bell()
	}
	p.lastC = p.rounded(valueC)
	return p.lastC, true
}

func (p *Probe) readAll(elapsed time.Duration) (valueC float64, ok bool) {
	p.follow(elapsed)
	p.readings++
	f, c := &p.fault, &p.config
	switch {
	case f.missing:
		return 0, false
	case f.powerUpEvery > 0 && p.readings%f.powerUpEvery == 0:
		return powerUpC, true
	case f.shorted:
		return f.shortC, true
	case f.frozen:
		return p.frozenC, true
	}
	valueC = p.feltC + c.BiasK + f.biasK
	if c.DriftKPerDay != 0 || f.driftKPerDay != 0 {
		valueC += c.DriftKPerDay*days(elapsed) + f.driftKPerDay*days(elapsed-f.driftFrom)
	}
	if noise := p.noiseK + c.NoiseShare*math.Abs(p.feltC); noise > 0 {
		valueC += noise * p.random.Bell()
	}
	if f.humK > 0 {
		valueC += f.humK * math.Sin(2*math.Pi*elapsed.Seconds()/humPeriod.Seconds())
	}
	if f.surgeK > 0 && p.readings%surgeEvery == 0 {
		valueC += math.Copysign(f.surgeK, p.random.Bell())
	}
	p.lastC = p.rounded(valueC)
	return p.lastC, true
}

// rounded is a value to the probe's resolution.
func (p *Probe) rounded(valueC float64) float64 {
	if p.perStep == 0 {
		return valueC
	}
	return round(valueC*p.perStep) * p.config.StepK
}

// round is math.Round, halves away from zero, in a quarter of its time for
// numbers of a usual size.
func round(x float64) float64 {
	if math.Abs(x) < 1e9 {
		return float64(int64(x + math.Copysign(0.5, x)))
	}
	return math.Round(x)
}

// follow lets the probe's body take on the temperature around it.
func (p *Probe) follow(elapsed time.Duration) {
	at := p
	if p.fault.reads != nil {
		at = p.fault.reads
	}
	aroundC := at.truth()
	if p.fault.pulledOut {
		aroundC = p.elsewhere()
	}
	if f := &p.fault; f.sunK > 0 || f.wallShare > 0 {
		aroundC += f.wallShare*(p.roomC()-aroundC) + f.sunK*p.sunWM2()/1000
	}
	if !p.started || p.config.Lag == 0 {
		p.feltC = aroundC
	} else if since := elapsed - p.lastRead; since > 0 {
		if since != p.lagged.since {
			p.lagged = lagged{since, -math.Expm1(-since.Seconds() / p.config.Lag.Seconds())}
		}
		p.feltC += (aroundC - p.feltC) * p.lagged.share
	}
	if !p.started {
		p.lastC = p.feltC
	}
	p.started, p.lastRead = true, elapsed
}

// setFault replaces what is broken. A probe that freezes keeps its last
// reading unless the fault names a value.
func (p *Probe) setFault(f probeFault) {
	if f.frozen && !p.fault.frozen {
		if !p.started {
			p.lastC = p.truth()
		}
		p.frozenC = p.lastC
	}
	if f.frozen && !math.IsNaN(f.frozenAtC) {
		p.frozenC = f.frozenAtC
	}
	p.fault = f
	c := &p.config
	p.noiseK = math.Hypot(c.NoiseK, f.noiseK)
	p.sound = f == probeFault{} && c.NoiseShare == 0 && c.DriftKPerDay == 0
}

func days(d time.Duration) float64 { return d.Hours() / 24 }
