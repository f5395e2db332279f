package checks

import (
	"fmt"
	"maps"
	"testing"

	"trammel.example/schema"
)

// BenchmarkFrameOfMachine follows all moments of an example into its frame: as it is, and with each of its members as eight in a row.
func BenchmarkFrameOfMachine(b *testing.B) {
	x := examinerOf(b, "crate-ejector")
	b.Logf("%d moments", len(x.moments().list))
	for _, pieces := range []int{1, 8} {
		m := *x.m
		m.Frame = inPieces(x.m, pieces)
		y := *x
		y.m = &m
		b.Run(fmt.Sprintf("%d members", len(m.Frame.Members)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				y.subjects = nil
				y.frame()
			}
		})
	}
}

// inPieces is a machine's frame with each of its members as some in a row.
func inPieces(m *schema.Machine, pieces int) schema.Frame {
	f := m.Frame
	f.Nodes, f.Members = maps.Clone(f.Nodes), map[string]schema.FrameMember{}
	for name, member := range m.Frame.Members {
		ends := [2]schema.Point{m.Joint(member.Between[0].Value), m.Joint(member.Between[1].Value)}
		member.Mass.SI /= float64(pieces)
		last := member.Between[0]
		for i := 1; i <= pieces; i++ {
			piece, next := member, member.Between[1]
			if i < pieces {
				part := float64(i) / float64(pieces)
				node := ends[0]
				node.X.SI += part * (ends[1].X.SI - ends[0].X.SI)
				node.Y.SI += part * (ends[1].Y.SI - ends[0].Y.SI)
				next.Value = fmt.Sprint(name, " ", i)
				f.Nodes[next.Value] = node
			}
			piece.Between = []schema.Text{last, next}
			f.Members[fmt.Sprint(name, " ", i)] = piece
			last = next
		}
	}
	return f
}
