package checks

import (
	"math"
	"testing"

	"trammel.example/schema"
)

// ISO 888 has 25, 30 and 35 mm, and nothing between them (from memory; the table of preferred lengths is held against an open one).
func TestLengthsMade(t *testing.T) {
	for _, row := range []struct{ length, off float64 }{{25, 0}, {26, 1}, {28, 2}, {32.5, 2.5}, {16, 0}, {18, 2}} {
		s := &Subject{Facts: map[string]Fact{}}
		screw := schema.Screw{}
		screw.Length.SI = row.length / 1e3
		lengthMade(s, screw)
		if got := s.Facts["lengthOff"].SI * 1e3; math.Abs(got-row.off) > 1e-6 {
			t.Errorf("%g mm is %g mm off, want %g", row.length, got, row.off)
		}
	}
	s := &Subject{Facts: map[string]Fact{}}
	screw := schema.Screw{}
	screw.Length.SI = 0.026
	lengthMade(s, screw)
	if got := s.Facts["lengthsMade"].Text; got != "25 mm or 30 mm" {
		t.Errorf("next to 26 mm: %q", got)
	}
	screw.Length.SI = 0.5
	s = &Subject{Facts: map[string]Fact{}}
	if lengthMade(s, screw); len(s.Facts) > 0 {
		t.Errorf("beyond the table: %v", s.Facts)
	}
}
