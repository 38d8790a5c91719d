package limits

import (
	"testing"

	"example.org/wring/calib"
)

// ISO 7500-1, table 2, and EN 837-1:1996: memory, sure.
func TestClassesOfGaugesUnderLoad(t *testing.T) {
	for _, c := range []struct {
		name                     string
		of                       calib.Share
		err, repeat, hyst, atEnd string
	}{
		{"ISO 7500-1 class 0.5", calib.OfReading, "0.5 %", "0.5 %", "0.75 %", "0.05 %"},
		{"ISO 7500-1 class 1", calib.OfReading, "1 %", "1 %", "1.5 %", "0.1 %"},
		{"ISO 7500-1 class 3", calib.OfReading, "3 %", "3 %", "4.5 %", "0.3 %"},
		{"EN 837-1 class 1.6", calib.OfSpan, "1.6 %", "", "1.6 %", ""},
	} {
		l, ok := LoadClass(c.name)
		if !ok || l.Of != c.of || l.Error.String() != c.err || l.Repeatability.String() != c.repeat || l.Hysteresis.String() != c.hyst || l.ZeroReturn.String() != c.atEnd {
			t.Errorf("%s: %+v, %v", c.name, l, ok)
		}
	}
	for _, name := range []string{"", "1", "ISO 7500-1 class 4", "EN 837-1 class 0.16", "EN 837-1 class 0.4"} { // the last two are GB/T 1226 classes
		if l, ok := LoadClass(name); ok {
			t.Errorf("%q is a class: %+v", name, l)
		}
	}
	for _, name := range LoadClasses() {
		if _, ok := LoadClass(name); !ok {
			t.Errorf("%q is listed and not known", name)
		}
	}
}
