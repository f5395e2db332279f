package made

import "fmt"

// A FaultKind says what is wrong with made sizes.
type FaultKind int

const (
	NotOnBody   FaultKind = iota // a spacing or shift names a body that does not exist, or points that the body doesn't have
	NoLength                     // a size that is no number, or outside its limits, or a spacing that may come to nothing
	PlacedTwice                  // two spacings, or two shifts, place one point of a body
	InACircle                    // spacings that start from each other
	NotAsked                     // a tool, play or stiffness of what the linkage doesn't have, or poses that are none
)

// A Fault is one mistake in made sizes, with the spacing or shift (or -1) and the points that it concerns.
type Fault struct {
	Kind           FaultKind
	Spacing, Shift int
	Points         []int
}

var faultText = map[FaultKind]string{
	NotOnBody:   "a made size names points that its body does not have",
	NoLength:    "a made size is no length, or outside its limits",
	PlacedTwice: "two made sizes place one point",
	InACircle:   "made spacings start from each other",
	NotAsked:    "the linkage does not have what is asked about",
}

func (f Fault) Error() string {
	text := faultText[f.Kind]
	if f.Spacing >= 0 {
		text += fmt.Sprintf(", spacing %d", f.Spacing)
	}
	if f.Shift >= 0 {
		text += fmt.Sprintf(", shift %d", f.Shift)
	}
	if len(f.Points) > 0 {
		text += fmt.Sprintf(", points %v", f.Points)
	}
	return text
}
