package air

// A Thread is what of a port's thread decides whether another goes into it: its family ("metric", "G", "R", "Rc", "Rp", "NPT") and size.
type Thread struct{ Family, Size string }

// A Mating is what comes of screwing one thread into another.
type Mating int

const (
	Mates           Mating = iota
	TaperInParallel        // goes in and seals on the thread with a sealant only
	Clashes                // other pitch, other flank angle or other size: leaks, or strips the port
)

// Mate tells what a male thread does in a female one. G (ISO 228-1) and R, Rp, Rc (ISO 7-1) share the 55° Whitworth form and the pitch of
// each size; NPT (ASME B1.20.1) has 60° and other pitches (1/8: 27 against 28 to the inch, 1/4: 18 against 19); metric goes with metric.
func Mate(male, female Thread) Mating {
	if male.Size != female.Size {
		return Clashes
	}
	switch {
	case male.Family == female.Family && (male.Family == "metric" || male.Family == "NPT" || male.Family == "G"):
		return Mates
	case male.Family == "R" && (female.Family == "Rc" || female.Family == "Rp"):
		return Mates // the pairs that ISO 7-1 is made of
	case male.Family == "R" && female.Family == "G":
		return TaperInParallel
	case male.Family == "G" && female.Family == "Rp":
		return Mates // both parallel, sealed by a washer on the face
	}
	return Clashes
}
