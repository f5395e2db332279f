package fastening

// Screws in wood, pulled along their axis.
//
//	p = 108.25 G² D L
//
// Symbols: p mean of what pulls a wood screw out, N; G density of the wood by that of water, oven-dry; D diameter of the screw over its
// thread and L length of thread in the wood, mm.
//
// Range: into side grain, in a lead hole of the usual size, seasoned wood; into end grain three quarters of it and unreliable. Plywood by
// the same, chipboard and MDF by less: then by a test. A fifth of it is the usual working load.
//
// Source: Wood Handbook (Forest Products Laboratory), chapter 8, equation 8-10, from memory.

// UsualWoodReserve is what a screw in wood is reckoned to bear less than its mean.
const UsualWoodReserve = 5.0

// Withdrawal returns the pull in N at which a screw comes out of wood. Diameter and thread length in m, gravity G. It returns an
// error for values not above zero.
func Withdrawal(d, length, gravity float64) (float64, error) {
	if err := positive(quantity{"screw diameter", d}, quantity{"thread in the wood", length}, quantity{"density of the wood by that of water", gravity}); err != nil {
		return 0, err
	}
	return 108.25 * gravity * gravity * d * length * 1e6, nil
}
