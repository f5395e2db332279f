// Package circuit follows compressed air through a circuit of components with numbered ports, in every state of its valves, and tells
// what each cylinder does when electricity or air is lost or comes back, when the stop is pressed and when the air is isolated.
//
// Pressures are gauge, Pa; forces N, positive where they push the rod out; areas m². Positions are shares of the stroke, 0 with the rod
// in and 1 with it out. Ports are numbered by ISO 11727 and ISO 5599: 1 supply, 2 and 4 outputs, 3 and 5 exhausts, 12 joins 1 to 2, 14
// joins 1 to 4, 10 shuts 1 off. A position of a valve is named by the pilot that brings it about: "12", "14", "10", or "centre".
//
// # What is computed
//
// Ports that runs, tees, manifolds, filters and receivers join are one net. A component in one position gives passages between nets, each
// with a direction, free or throttled, and with a limit where it regulates. In one state
//
//	p(n)   = max over ways from a source of min(source, limits on the way), at most what relief valves in free reach of n let stand
//	n is   Supplied   when a source reaches it and it reaches no opening to the air:       p(n)
//	       Exhausted  when it reaches an opening and no source reaches it:                 0
//	       Contested  when both do, so that air blows through, or when it is fed through such a place only:  0 to p(n)
//	       Trapped    when neither does:                                                   0 to what was in it, and in what flows into it
//
// A net that a source reaches without a throttle holds its pressure against openings behind throttles: it is Supplied. One that reaches an
// opening without a throttle stays empty while sources reach it by throttles alone: it is Exhausted.
//
// What is trapped leaks in time, so its pressure is a range down to 0. A valve, quick exhaust, shuttle or pilot-operated check valve whose
// position hangs on a pressure is settled by repetition: positions give pressures, pressures give positions, until neither changes. Where
// they never come to rest, the nets that swing are Unsettled. Air that is trapped in a pilot line still counts as a signal.
//
// The net force on a rod, with areas A (rear) and B (front), spring and load, decides how it moves:
//
//	F(s) = p(rear) A - p(front) B + spring(s) + load(s)
//
// between the least and the greatest F of the pressures' ranges. It goes out where F can be above the friction, in where F can be below
// its negative, and rests where neither holds or at the end of its stroke. The mass plays no part: what swings past a place of rest is the
// business of a simulation.
//
// # Cost
//
// The states of all valves together would be 2^n and more. A cylinder is judged over the states of its own branch: the components whose
// state can let air into or out of the nets of its chambers. A component that hangs on a net is left out when in none of its states, and of
// the states beyond it, any way leads through it to a source, a receiver, a relief valve or an opening: then nothing that it does can change
// the net's supply or exhaust; for the air that it may have shut in, a net with such components counts as trapped with all that can come to it.
// So valves on one supply are independent of each other as long as none of them can empty or feed the supply, and the work grows with the sum
// of the branches and not with their product.
//
// Range: static states, one medium, lossless supply; any graph. A regulator lets air back when the pressure before it is gone (common
// practice, no source; set NoReturn for one that does not). Air lost means that the line at the compressor is open.
//
// Sources: ISO 1219-1 and ISO 5599 for what valves join in each position, ISO 4414 and ISO 14118 for the events to be judged (from memory).
package circuit
