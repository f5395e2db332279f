package circuit

import (
	"fmt"
	"maps"
	"testing"
)

// eight is a machine of eight cylinders and twelve valves behind one dump valve: two with quick exhausts, two with pilot-operated checks, two with
// regulators of their own, two with a second valve that bleeds them, all letting out through common manifolds with one throttle.
func eight() Network {
	n := Network{Components: supply(map[string]Component{
		"dump": valve(Valve{Ways: ThreeTwo, Pilot: Direct}), "tank": {Kind: Receiver}, "feed": {Kind: Manifold, Ports: 11},
		"gather": {Kind: Manifold, Ports: 17}, "slowly": {Kind: ExhaustThrottle}, "clamp9": valve(Valve{Ways: ThreeTwo, Moved: ByHand}), "stop9": {Kind: Gauge},
	}), Runs: runs(supplyRuns + "line.2-tank.1 tank.2-dump.1 dump.2-feed.9 feed.10-clamp9.1 clamp9.2-stop9.1 gather.17-slowly.1"), Stop: []string{"dump"}, Start: map[string]string{"dump": "12"}}
	n.Components["end"] = Component{Kind: Plug}
	maps.Copy(n.Runs, runs("feed.11-end.1"))
	for i := 1; i <= 8; i++ {
		v := Valve{Ways: FiveTwo, Return: []Return{BySpring, Remembers}[i%2]}
		if i == 3 || i == 4 {
			v = Valve{Ways: FiveThree, Centre: ExhaustCentre}
		}
		add := func(name string, part Component) { n.Components[fmt.Sprint(name, i)] = part }
		join := func(text string) { maps.Copy(n.Runs, runs(fmt.Sprintf(text, i))) }
		add("valve", valve(v))
		add("cylinder", cylinder(-30, -20, 10))
		add("slow", Component{Kind: FlowControl, Throttles: From1To2})
		join("feed.%[1]d-valve%[1]d.1 valve%[1]d.2-slow%[1]d.2 slow%[1]d.1-cylinder%[1]d.front")
		n.Runs[fmt.Sprint("five", i)] = Run{Port{fmt.Sprint("valve", i), "5"}, Port{"gather", fmt.Sprint(2*i - 1)}}
		n.Runs[fmt.Sprint("three", i)] = Run{Port{fmt.Sprint("valve", i), "3"}, Port{"gather", fmt.Sprint(2 * i)}}
		switch i {
		case 1, 2:
			add("quick", Component{Kind: QuickExhaust})
			join("valve%[1]d.4-quick%[1]d.1 quick%[1]d.2-cylinder%[1]d.rear")
		case 3, 4:
			add("hold", Component{Kind: PilotCheck})
			add("fork", Component{Kind: Tee})
			join("valve%[1]d.4-hold%[1]d.1 hold%[1]d.2-cylinder%[1]d.rear fork%[1]d.1-hold%[1]d.12")
			delete(n.Runs, fmt.Sprintf("valve%[1]d.2-slow%[1]d.2", i))
			join("valve%[1]d.2-fork%[1]d.2 fork%[1]d.3-slow%[1]d.2")
		case 5, 6:
			add("low", Component{Kind: Regulator, Pressure: 3 * bar, Relieving: true})
			join("valve%[1]d.4-low%[1]d.1 low%[1]d.2-cylinder%[1]d.rear")
		default:
			add("help", valve(Valve{Ways: TwoTwo, Moved: ByHand, Service: true}))
			add("drain", Component{Kind: Tee})
			add("loud", Component{Kind: Silencer})
			join("valve%[1]d.4-drain%[1]d.1 drain%[1]d.2-cylinder%[1]d.rear drain%[1]d.3-help%[1]d.1 help%[1]d.2-loud%[1]d.1")
		}
	}
	return n
}

func BenchmarkTable(b *testing.B) {
	n := eight()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := build(b, n).Table(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNew(b *testing.B) {
	n := eight()
	for b.Loop() {
		build(b, n).Check()
	}
}

// BenchmarkValves shows how the cost grows: with the number of valves, not with the number of their states.
func BenchmarkValves(b *testing.B) {
	for _, count := range []int{4, 8, 16, 32} {
		n := Network{Components: supply(map[string]Component{"feed": {Kind: Manifold, Ports: count + 1}}), Runs: runs(supplyRuns)}
		n.Runs["main"] = Run{Port{"line", "2"}, Port{"feed", fmt.Sprint(count + 1)}}
		for i := 1; i <= count; i++ {
			n.Components[fmt.Sprint("valve", i)], n.Components[fmt.Sprint("cylinder", i)] = valve(Valve{Ways: FiveTwo}), cylinder()
			maps.Copy(n.Runs, runs(fmt.Sprintf("feed.%[1]d-valve%[1]d.1 valve%[1]d.4-cylinder%[1]d.rear valve%[1]d.2-cylinder%[1]d.front", i)))
		}
		b.Run(fmt.Sprint(count), func(b *testing.B) {
			for b.Loop() {
				if _, err := build(b, n).Table(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
