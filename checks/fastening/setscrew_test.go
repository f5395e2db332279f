package fastening

import "testing"

// TestSetScrewsAgainstTable: what one holds is at the most, and not below seven tenths of, the holding power of socket set screws with cup points
// that Shigley's Mechanical Engineering Design has in table 7-4 (from memory): diameter in inches, torque in lbf in, holding power in lbf.
func TestSetScrewsAgainstTable(t *testing.T) {
	const inch, pound = 0.0254, 4.4482216152605
	for _, row := range [][3]float64{{0.164, 20, 385}, {0.190, 36, 540}, {0.25, 87, 1000}, {0.3125, 165, 1500}, {0.375, 290, 2000}, {0.5, 620, 3000}} {
		moment, err := SetScrewHolds(1, row[1]*inch*pound, row[0]*inch, 2)
		if err != nil {
			t.Fatal(err)
		}
		if table := row[2] * pound; moment > table || moment < 0.7*table {
			t.Errorf("%g in: %g N, the table has %g N", row[0], moment, table)
		}
	}
	two, _ := SetScrewHolds(2, 4, 0.005, 0.01)
	if one, _ := SetScrewHolds(1, 4, 0.005, 0.01); two != 2*one || one != 0.45*4/(0.2*0.005)*0.005 {
		t.Errorf("one holds %g N m, two hold %g", one, two)
	}
	for _, bad := range [][4]float64{{0, 1, 1, 1}, {1, -1, 1, 1}, {1, 1, 0, 1}, {1, 1, 1, 0}} {
		if _, err := SetScrewHolds(bad[0], bad[1], bad[2], bad[3]); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
}

// TestSetScrewTorques: the seating torques that Shigley's Mechanical Engineering Design has in table 7-4 for inch sizes (from memory), as d³
// carries them over to the metric size beside each, are at most a fifth off.
func TestSetScrewTorques(t *testing.T) {
	const inch, pound = 0.0254, 4.4482216152605
	for _, row := range []struct{ d, seating, metric float64 }{{0.164, 20, 4e-3}, {0.190, 36, 5e-3}, {0.25, 87, 6e-3}, {0.3125, 165, 8e-3}, {0.375, 290, 10e-3}, {0.5, 620, 12e-3}} {
		got, err := SetScrewTorque(row.metric)
		if err != nil {
			t.Fatal(err)
		}
		scale := row.metric / (row.d * inch)
		if want := row.seating * inch * pound * scale * scale * scale; got < 0.8*want || got > 1.25*want {
			t.Errorf("M%g takes %g N m, the table comes to %g", row.metric*1e3, got, want)
		}
	}
	if less, _ := SetScrewTorque(7e-3); less != 8.5 {
		t.Errorf("between M6 and M8 it takes %g N m", less)
	}
	for _, d := range []float64{0, 0.0025} {
		if _, err := SetScrewTorque(d); err == nil {
			t.Errorf("%g m is taken", d)
		}
	}
}
