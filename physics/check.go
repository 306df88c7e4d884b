package physics

import (
	"fmt"
	"math"
)

// checkRange returns an error that names the quantity, its value and the
// allowed range; the unit may be empty. A NaN is never inside a range.
func checkRange(what string, value, low, high float64, unit string) error {
	if value >= low && value <= high {
		return nil
	}
	return fmt.Errorf("%s is %s; give a value from %g to %s", what, withUnit(value, unit), low, withUnit(high, unit))
}

// checkPositive returns an error unless the value is a finite number above zero.
func checkPositive(what string, value float64, unit string) error {
	if value > 0 && !math.IsInf(value, 1) {
		return nil
	}
	return fmt.Errorf("%s is %s; give a finite value above zero", what, withUnit(value, unit))
}

// checkNotNegative returns an error unless the value is finite and zero or more.
func checkNotNegative(what string, value float64, unit string) error {
	if value >= 0 && !math.IsInf(value, 1) {
		return nil
	}
	return fmt.Errorf("%s is %s; give a finite value of zero or more", what, withUnit(value, unit))
}

// checkFinite returns an error for NaN and the infinities.
func checkFinite(what string, value float64, unit string) error {
	if !math.IsNaN(value) && !math.IsInf(value, 0) {
		return nil
	}
	return fmt.Errorf("%s is %s; give a finite value", what, withUnit(value, unit))
}

func withUnit(value float64, unit string) string {
	if unit == "" {
		return fmt.Sprintf("%g", value)
	}
	return fmt.Sprintf("%g %s", value, unit)
}

// firstError returns the first error that is not nil.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// clamp brings x into [low, high]; a NaN stays a NaN.
func clamp(x, low, high float64) float64 {
	if x < low {
		return low
	}
	if x > high {
		return high
	}
	return x
}
