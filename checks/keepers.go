package checks

import (
	"fmt"
	"math"
	"slices"

	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// keeperSizes are how far a pin reaches beyond its stack, by its diameter, for what keeps it there, m. All from memory. A clip: width of its
// groove and least land beyond, DIN 471. A collar: its width, DIN 705, light series. A split pin: from the near side of its hole to the
// pin's end, ISO 2341 (l_e and half of d1). A pin between two rows gets what the thicker one does.
var keeperSizes = []struct{ pin, clip, collar, splitPin float64 }{
	{3e-3, 0.8e-3, 5e-3, 2e-3},
	{4e-3, 0.8e-3, 5e-3, 2.7e-3},
	{5e-3, 1e-3, 6e-3, 3.5e-3},
	{6e-3, 1.3e-3, 8e-3, 4e-3},
	{8e-3, 1.5e-3, 8e-3, 4.5e-3},
	{10e-3, 1.7e-3, 10e-3, 6.1e-3},
	{12e-3, 1.9e-3, 12e-3, 7.1e-3},
	{14e-3, 2e-3, 12e-3, 8e-3},
	{16e-3, 2.3e-3, 12e-3, 8e-3},
	{18e-3, 2.8e-3, 14e-3, 9.5e-3},
	{20e-3, 2.8e-3, 14e-3, 10.5e-3},
	{25e-3, 3e-3, 16e-3, 12.15e-3},
	{30e-3, 3.7e-3, 16e-3, 14e-3},
}

const (
	// ringPart is how much of a pin a push-on ring takes, in diameters: common practice, no source.
	ringPart = 0.25
	// lengthStep is to what the length of a pin is rounded up, m.
	lengthStep = 0.5e-3
)

// An endKept is how far a pin must reach beyond its stack for what keeps it there, and by what source; or why that is not known.
type endKept struct {
	takes       float64
	source, why string
}

// keptEnd is that of one end, 0 or 1, with a keeper that may be another than the spec's.
func keptEnd(pin schema.Pin, end int, keeper string) endKept {
	if pin.Kept[end].Value == keeper && len(pin.Beyond) == 2 {
		return endKept{takes: pin.Beyond[end].SI}
	}
	d := pin.Diameter.SI
	row := slices.IndexFunc(keeperSizes, func(r struct{ pin, clip, collar, splitPin float64 }) bool { return r.pin >= d-rounding })
	if row < 0 && (keeper == "clip" || keeper == "collar" || keeper == "split pin") {
		return endKept{why: fmt.Sprintf("how much a %s takes of a pin of %s is in no table of trammel's: add `beyond: [{mm: …}, {mm: …}]` to the pin", keeper, schema.Format(schema.LengthDim, d))}
	}
	switch keeper {
	case "clip":
		return endKept{keeperSizes[row].clip, "DIN 471 (from memory): groove and land of a clip", ""}
	case "collar":
		return endKept{keeperSizes[row].collar, "DIN 705 (from memory): width of a collar", ""}
	case "split pin":
		return endKept{keeperSizes[row].splitPin, "ISO 2341 (from memory): a split pin's hole and what stays beyond it", ""}
	case "push-on ring":
		return endKept{ringPart * d, "common practice, no source: a push-on ring takes a quarter of the diameter", ""}
	case "nut", "lock nut":
		return nutEnd(pin, keeper)
	}
	return endKept{}
}

// nutEnd is the height of a nut, with that of what locks it, and one pitch.
func nutEnd(pin schema.Pin, keeper string) endKept {
	thread, err := standards.ThreadByName(pin.Thread.Value)
	if err != nil {
		return endKept{why: err.Error()}
	}
	end := endKept{takes: thread.Pitch}
	style, source := "hex", "ISO 4032: height of the nut, and one pitch"
	if keeper == "lock nut" || pin.Lock.Value == "lock nut" {
		style, source = "lock", "ISO 7040: height of the lock nut, and one pitch"
	}
	styles := []string{style}
	if keeper == "nut" && pin.Lock.Value == "jam nut" {
		styles, source = append(styles, "thin"), "ISO 4032 and ISO 4035: heights of nut and jam nut, and one pitch"
	}
	for _, s := range styles {
		// A fine thread's nut is as high as the coarse one's.
		nut, err := standards.NutFor(s, fmt.Sprintf("M%g", math.Round(thread.Nominal*1e4)/10))
		if err != nil {
			return endKept{why: fmt.Sprintf("how high a %s of %s is is in no table of trammel's: add `beyond: [{mm: …}, {mm: …}]` to the pin", keeper, thread.Name)}
		}
		end.takes += nut.Height
	}
	end.source = source
	return end
}

// keptBy is how long a pin must be for its stack and these keepers; or why that is not known.
func keptBy(pin schema.Pin, stack float64, keepers [2]string) (needed float64, why string) {
	needed = stack
	for i, k := range keepers {
		end := keptEnd(pin, i, k)
		if end.why != "" {
			return 0, end.why
		}
		needed += end.takes
	}
	return needed, ""
}

// pinLength is the length by which a pin is called that is never shorter than needed: with the tolerance of the one that there is, else with
// the general one.
func pinLength(length schema.Size, needed float64) float64 {
	up := func(l float64) float64 { return math.Ceil(l/lengthStep-1e-6) * lengthStep }
	if length.Toleranced() {
		return up(needed + length.SI - length.Least)
	}
	l := up(needed)
	for off, err := standards.GeneralTolerance(l); err == nil && l-off < needed-rounding; off, err = standards.GeneralTolerance(l) {
		l += lengthStep
	}
	return l
}

// boltLength is that of a bolt that can be bought.
func boltLength(thread string, needed float64) (float64, bool) {
	for _, l := range standards.ScrewLengths() {
		if off, _ := boltTolerance(thread, l); l-off >= needed-rounding {
			return l, true
		}
	}
	return 0, false
}

// keepingRemedies say how the ends are kept that nothing keeps, or only friction: by clips, or all of it by a bolt with a lock nut.
func keepingRemedies(s *Subject, p schema.Pivot, ms []member, stack float64) {
	pin := p.Pin
	kept := [2]string{pin.Kept[0].Value, pin.Kept[1].Value}
	mended, which := kept, ""
	for i, end := range []string{"its first end", "its second end"} {
		if kept[i] == "none" || kept[i] == "push-on ring" {
			mended[i] = "clip"
			if which != "" {
				end = "both of its ends"
			}
			which = end
		}
	}
	if which == "" {
		return
	}
	mm := func(l float64) string { return schema.Format(schema.LengthDim, l) }
	text := "Keep " + which + " with a clip in a groove"
	if needed, why := keptBy(pin, stack, mended); why == "" {
		text += ", on a pin of " + mm(pinLength(pin.Length, needed)) + " or more"
	}
	bolt := pin
	thread, ok := standards.CoarseThread(pin.Diameter.SI)
	bolt.Thread.Value, bolt.Lock.Value, bolt.Beyond = thread.Name, "", nil
	if needed, why := keptBy(bolt, stack, [2]string{"head", "lock nut"}); ok && why == "" {
		if l, ok := boltLength(thread.Name, needed); ok {
			text += fmt.Sprintf("; or use a bolt %s of %s with a head and a lock nut", thread.Name, mm(l))
			if far := shankNeeded(p, ms); far > 0 {
				text += ", plain for " + mm(far) + " under its head"
			}
		}
	}
	s.text("keptRemedy", text)
}
