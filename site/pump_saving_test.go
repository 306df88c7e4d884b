package site

import (
	"strings"
	"testing"
)

// TestUsualPumpSaving: a pump that is only on or off is spared only where the file
// says so, for the system or for the house; one of set speed always is.
func TestUsualPumpSaving(t *testing.T) {
	const relay = "kind = \"relay\"\nchip = \"gpiochip0\"\nline = \"GPIO17\""
	const speed = "kind = \"level file\"\nfile = \"/sys/class/leds/loop-pump/brightness\"\nleast = \"30 %\""
	const plain = `
name = "An invented house"
[place]
latitude = "45 °"
longitude = "8 °"
altitude = "250 m"
time_zone = "Europe/Rome"
coldest = "-10 °C"
[settings]
# house
[[system]]
name = "roof"
loop = "pumped"
store = "drinking water"
fluid = "propylene glycol"
antifreeze = "45 %"
loop_pressure = "2.0 bar"
loop_flow = "4 l/min"
[system.collector]
area = "4 m²"
tilt = "45 °"
direction = "180 °"
optical_efficiency = "78 %"
loss = "3.8 W/(m² K)"
loss_growth = "0.012 W/(m² K²)"
[system.settings]
# system
[system.tank]
volume = "300 l"
loss = "2.2 W/K"
[system.probe.collector]
kind = "one-wire"
identity = "28-000000000001"
[system.probe.tank_top]
kind = "one-wire"
identity = "28-000000000002"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "28-000000000003"
[system.output.loop_pump]
# pump
`
	for name, c := range map[string]struct {
		pump, house, system string
		want                float64
	}{
		"on or off":                   {relay, "", "", 0},
		"set speed":                   {speed, "", "", 100},
		"on or off, house says so":    {relay, "pump_saving = \"70 %\"", "", 70},
		"on or off, system says so":   {relay, "", "pump_saving = \"100 %\"", 100},
		"set speed, the house not":    {speed, "pump_saving = \"0 %\"", "", 0},
		"set speed, the system alone": {speed, "pump_saving = \"0 %\"", "pump_saving = \"50 %\"", 50},
	} {
		text := strings.NewReplacer("# pump", c.pump, "# house", c.house, "# system", c.system).Replace(plain)
		s, err := Parse("house.toml", []byte(text))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if got := s.Plan.Systems[0].Settings.PumpSavingPercent; got != c.want {
			t.Errorf("%s: %g %%, want %g %%", name, got, c.want)
		}
		if got := s.Systems[0].Settings.PumpSavingPercent; got != c.want {
			t.Errorf("%s: the system's own settings have %g %%, want %g %%", name, got, c.want)
		}
	}
}
