package made

import "fmt"

// A FaultKind says what is wrong with made sizes.
type FaultKind int

const (
	NotOnBody   FaultKind = iota // a spacing or shift names a body that does not exist, or points that the body doesn't have
	NoCylinder                   // a length of a cylinder that does not exist
	NoLength                     // a size that is no number, or outside its limits, or a spacing or cylinder that may come to nothing
	PlacedTwice                  // two spacings, or two shifts, place one point of a body, or two lengths are of one cylinder
	InACircle                    // spacings that start from each other
	NotAsked                     // a tool, play or stiffness of what the linkage doesn't have, or poses that are none
)

// A Part is a kind of made size.
type Part int

const (
	NoPart Part = iota
	ASpacing
	AShift
	ALength
)

// A Fault is one mistake in made sizes, with the part and the points that it concerns.
type Fault struct {
	Kind   FaultKind
	Part   Part
	Index  int // of the part among Parts
	Points []int
}

var faultText = map[FaultKind]string{
	NotOnBody:   "a made size names points that its body does not have",
	NoCylinder:  "a made length is of no cylinder",
	NoLength:    "a made size is no length, or outside its limits",
	PlacedTwice: "two made sizes place one point",
	InACircle:   "made spacings start from each other",
	NotAsked:    "the linkage does not have what is asked about",
}

func (f Fault) Error() string {
	text := faultText[f.Kind]
	if f.Part != NoPart {
		text += fmt.Sprintf(", %s %d", [...]string{ASpacing: "spacing", AShift: "shift", ALength: "length"}[f.Part], f.Index)
	}
	if len(f.Points) > 0 {
		text += fmt.Sprintf(", points %v", f.Points)
	}
	return text
}
