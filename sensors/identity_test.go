package sensors

import (
	"errors"
	"testing"
)

func TestIdentities(t *testing.T) {
	for _, good := range []string{"28-00000a1b2c3d", "10-000802a1b2c3", "00-800000000000"} {
		if err := CheckIdentity(good); err != nil {
			t.Error(err)
		}
	}
	for _, bad := range []string{
		"", "28", "28-", "28-00000a1b2c3", "28-00000a1b2c3d0", "28-00000A1B2C3D", "2g-00000a1b2c3d",
		"28_00000a1b2c3d", "28-00000a1b2c3g", "../28-00000a1b2", "28-0000/../../x", " 28-00000a1b2c3d", "28--0000a1b2c3d",
		"w1_bus_master1",
	} {
		if err := CheckIdentity(bad); err == nil {
			t.Errorf("%q passed for an identity", bad)
		}
	}
}

func TestOnlyReadablePartsAreTakenAsProbes(t *testing.T) {
	for _, code := range []string{"28", "22"} {
		if err := checkReadable(code + "-00000a1b2c3d"); err != nil {
			t.Error(err)
		}
	}
	for _, code := range []string{"10", "3b", "42", "00", "29"} {
		if err := checkReadable(code + "-00000a1b2c3d"); !errors.Is(err, Unsupported) {
			t.Errorf("family %s: %v, want Unsupported", code, err)
		}
	}
}

func TestGenuinePattern(t *testing.T) {
	for identity, want := range map[string]bool{
		"28-00000a1b2c3d": true,
		"28-0317974b6dff": false,
		"28-000f98434d1c": false,
		"22-00000a1b2c3d": false,
	} {
		if got := genuinePattern(identity); got != want {
			t.Errorf("%s: %v, want %v", identity, got, want)
		}
	}
}
