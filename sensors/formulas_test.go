package sensors

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"
)

// figures reads a file of formulas, which names its source.
func figures(t *testing.T, path string, into any) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err == nil {
		err = json.Unmarshal(text, into)
	}
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
}

// TestFormulaOfPlatinum: the coefficients of IEC 60751:2008, as two public texts give
// them, and the ratio of 0 to 100 °C that they stand for.
func TestFormulaOfPlatinum(t *testing.T) {
	var file struct {
		A     float64 `json:"A_per_K"`
		B     float64 `json:"B_per_K2"`
		C     float64 `json:"C_per_K4"`
		Alpha float64 `json:"alpha_per_K"`
	}
	figures(t, "testdata/pt100_callendar_van_dusen.json", &file)
	if file.A != platinumA || file.B != platinumB || file.C != platinumC {
		t.Errorf("the coefficients are %g, %g and %g, want %+v", platinumA, platinumB, platinumC, file)
	}
	near(t, "alpha", (PlatinumOhm(100, 100)-100)/1e4, file.Alpha, 5e-7) // as it is rounded
}

// TestFormulaOfTheFrontEnd: the MAX31865 datasheet's examples of what the register
// says; it cuts 819.2 off, the code rounds.
func TestFormulaOfTheFrontEnd(t *testing.T) {
	var file struct {
		Examples []struct {
			Ratio   float64 `json:"rtd_over_reference"`
			High    string  `json:"msb_hex"`
			Low     string  `json:"lsb_hex"`
			Decimal float64 `json:"decimal"`
		} `json:"ratio_examples"`
	}
	figures(t, "testdata/max31865_formulas.json", &file)
	if len(file.Examples) != 3 {
		t.Fatalf("%d examples", len(file.Examples))
	}
	p := pt100(t, nil)
	for _, e := range file.Examples {
		register, err := strconv.ParseUint(e.High+e.Low, 16, 16)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "code", float64(register>>1), e.Decimal, 0)
		near(t, "resistance by its register", p.ohm(uint16(register))/p.options.ReferenceOhm, e.Ratio, 1./(1<<15))
		near(t, "register by its resistance", float64(p.register(e.Ratio*p.options.ReferenceOhm)>>1), e.Decimal, 1)
	}
}

// TestFormulaOfTheThermistor: a maker's fit of its resistance table, over the range
// that the maker gives for it.
func TestFormulaOfTheThermistor(t *testing.T) {
	// The file has a and A: only names that are taken as they are tell them apart.
	var file map[string]json.RawMessage
	figures(t, "testdata/ntc_10k_3977_formulas.json", &file)
	var a, b, c, d, beta, ohm25 float64
	var rangeC [2]float64
	for name, to := range map[string]any{"a": &a, "b": &b, "c": &c, "d": &d, "beta_25_85_K": &beta, "R25_ohm": &ohm25, "formula_range_degC": &rangeC} {
		if err := json.Unmarshal(file[name], to); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
	if beta != knownMaterialBetaK || ohm25 != 10_000 {
		t.Errorf("the maker's is of %g K and %g Ω", beta, ohm25)
	}
	least, most := math.Inf(1), math.Inf(-1)
	for ratio := 0.02; ratio < 30; ratio *= 1.1 {
		l := math.Log(ratio)
		want := 1/(a+b*l+c*l*l+d*l*l*l) - 273.15
		if want < rangeC[0] || want > rangeC[1] {
			continue
		}
		near(t, "the maker's fit", thermistorC(ratio, beta), want, 1e-6)
		least, most = min(least, want), max(most, want)
	}
	if least > -35 || most < 145 {
		t.Errorf("tried from %g to %g °C alone", least, most)
	}
}
