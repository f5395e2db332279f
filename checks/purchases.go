package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trammel.example/checks/nesting"
	"trammel.example/schema"
)

// mostPieces is how many cuts are planned; beyond, the sum of their lengths must do.
const mostPieces = 2_000

// purchases holds the purchase list against what the machine takes. What the list has no line of a kind for is taken to be at hand.
func (x *examiner) purchases() {
	if len(x.m.Purchases) == 0 {
		return
	}
	lines := make([][]Use, len(x.m.Purchases)) // what each is bought for
	kinds := make([]string, len(x.m.Purchases))
	onList, needs := map[string]bool{}, NeedsOfAll(x.m)
	for i, p := range x.m.Purchases {
		if p.Screw.Given() {
			kinds[i] = "screw"
		}
		for _, n := range needs {
			if n.Item == p.Item.Value {
				kinds[i] = n.Kind
			}
		}
		onList[kinds[i]] = true
	}
	var missing []*Need
	var atHand []string // kinds of which the list has nothing
	for _, n := range needs {
		if !onList[n.Kind] && !slices.Contains(atHand, n.Kind) {
			atHand = append(atHand, n.Kind)
		}
		at := slices.IndexFunc(x.m.Purchases, func(p schema.Purchase) bool { return p.Item.Value == n.Item })
		if at >= 0 {
			lines[at] = append(lines[at], n.Uses...)
			continue
		}
		if n.Kind != "screw" {
			if onList[n.Kind] {
				missing = append(missing, n)
			}
			continue
		}
		for _, u := range n.Uses {
			screw := u.of.Fastenings[u.Name].Screw
			if i, _, found := x.purchaseFor(u.Name, screw.Thread.Value, screw.Length.SI); found {
				lines[i] = append(lines[i], u)
			}
		}
	}
	said := false // once, what is assumed of the whole list
	for i, p := range x.m.Purchases {
		n := &Need{Kind: kinds[i], Item: p.Screw.Value + p.Item.Value, Uses: lines[i]}
		if !x.tells(n) {
			continue
		}
		s := newSubject(x.m, "purchase", n.Item, p.At)
		x.add(s)
		if !said && len(atHand) > 0 {
			x.assume(s, "purchases", "at hand: every "+strings.Join(atHand, ", every "), "common practice: what a list has nothing of is in the workshop")
		}
		if !said && !x.m.Spares.Given() {
			x.assume(s, "spares", "none", "the list is taken as it stands")
		}
		said = true
		s.set("bought", schema.NumberDim, p.Count.SI, p.Count)
		if len(n.Uses) == 0 {
			x.unused(s, p, needs, missing)
			continue
		}
		x.wanted(s, n, p)
	}
	for _, n := range missing {
		if !x.tells(n) {
			continue
		}
		s := newSubject(x.m, "purchase", n.Item, n.Uses[0].Origin.At)
		x.add(s)
		s.set("bought", schema.NumberDim, 0, taker{n.Uses[0].Origin, n.Item})
		x.wanted(s, n, schema.Purchase{})
	}
}

// tells reports whether this machine's report tells of a line: of machines that share a list, those that take what it has; the first, where
// none does.
func (x *examiner) tells(n *Need) bool {
	if len(n.Uses) == 0 {
		return len(x.m.Kin) == 0 || x.m.Kin[0] == x.m
	}
	return slices.ContainsFunc(n.Uses, func(u Use) bool { return u.of == x.m })
}

// A taker is the place in the spec of what takes an item.
type taker struct {
	schema.Origin
	item string
}

func (t taker) String() string { return t.item }

// unused says what a line that nothing takes may be meant for.
func (x *examiner) unused(s *Subject, p schema.Purchase, needs, missing []*Need) {
	s.set("used", schema.NumberDim, 0, p.Screw, p.Item, p.Count)
	nearest := func(of []*Need) string {
		var items []string
		for _, n := range of {
			items = append(items, n.Item)
		}
		return schema.Nearest(s.Name, items)
	}
	near := nearest(missing) // what the list lacks is what it means
	if near == "" {
		near = nearest(needs)
	}
	meant := "Take the line out; `trammel sheets` lists by which names the machine's parts are bought"
	if near != "" {
		meant = fmt.Sprintf("Write `item: %q`, which the machine takes, or take the line out", near)
	} else if p.Screw.Given() {
		var screws []string
		for _, n := range needs {
			if n.Kind == "screw" {
				screws = append(screws, strings.Fields(n.Item)[1])
			}
		}
		if len(screws) == 0 {
			meant = "Take the line out: the machine has no fastening yet"
		} else {
			meant = "Take the line out, or buy " + strings.Join(screws, " or ") + ", which are what the machine takes"
		}
	}
	s.text("remedyUnused", meant)
}

// wanted sets how many of a line are needed, in all machines and with spares, and how many to order.
func (x *examiner) wanted(s *Subject, n *Need, p schema.Purchase) {
	from := []schema.Input{p.Count, x.m.Copies}
	s.set("used", schema.NumberDim, float64(n.Count()), from...)
	s.text("uses", and(usesInWords(n.Uses)))
	machines := "the machine"
	switch {
	case len(x.m.Kin) > 1:
		machines = fmt.Sprintf("%d kinds of machines that share the list, all copies counted", len(x.m.Kin))
	case x.m.HowMany() > 1:
		machines = fmt.Sprintf("all %d machines", x.m.HowMany())
	}
	s.text("machines", machines, x.m.Copies)
	wanted := n.Count()
	if n.Cut() {
		wanted = x.bars(s, n, p)
		if wanted < 0 {
			return
		}
	}
	if n.Small() && x.m.Spares.Given() {
		wanted += int(math.Ceil(float64(wanted)*x.m.Spares.SI - 1e-9))
		from = append(from, x.m.Spares)
	}
	s.set("wanted", schema.NumberDim, float64(wanted), from...)
	each := ""
	if p.Length.Given() {
		each = fmt.Sprintf(" of %.4g m each", p.Length.SI)
	}
	s.text("wants", fmt.Sprintf("Wanted are %d%s", wanted, each), p.Length)
	short := wanted - int(p.Count.SI)
	if short <= 0 {
		return
	}
	order := fmt.Sprintf("%d", wanted)
	if pack := int(p.Pack.SI); pack > 1 {
		packs := (wanted + pack - 1) / pack
		order = fmt.Sprintf("%d, which is %d packs of %d", packs*pack, packs, pack)
	}
	if p.Given() {
		s.text("remedyShort", fmt.Sprintf("Order %s: %d more than the list has", order, short))
	} else {
		s.text("remedyShort", fmt.Sprintf("Add a line `{item: %q, count: %s}`", n.Item, order))
	}
}

// usesInWords says what takes how many, the first few by name.
func usesInWords(uses []Use) (words []string) {
	const most = 3
	var names []string
	count := map[string]int{}
	for _, u := range uses {
		if count[u.Name] == 0 {
			names = append(names, u.Name)
		}
		count[u.Name] += u.Count
	}
	rest := 0
	for i, name := range names {
		if i < most || len(names) == most+1 {
			words = append(words, fmt.Sprintf("%d for %s", count[name], name))
			continue
		}
		rest += count[name]
	}
	if rest > 0 {
		words = append(words, fmt.Sprintf("%d for %d other places", rest, len(names)-most))
	}
	return words
}

// bars plans the cuts of a line, and gives how many bars or rolls they take; below zero where that is not known.
func (x *examiner) bars(s *Subject, n *Need, p schema.Purchase) int {
	var pieces []float64
	longest := Use{}
	for _, u := range n.Uses {
		if u.Why != "" {
			s.open(u.Why, "wanted")
			return -1
		}
		if u.Length > longest.Length {
			longest = u
		}
		for range min(u.Count, mostPieces+1) {
			pieces = append(pieces, u.Length)
		}
	}
	if !p.Length.Given() {
		if p.Given() {
			s.open("how long one is, is not given: add `length: m: …` to its line of the purchase list", "wanted", "longestCut")
			return -1
		}
		return 1 // at the least
	}
	s.set("longestCut", schema.LengthDim, longest.Length, p.Length)
	s.text("longestFor", longest.Name)
	s.set("barLength", schema.LengthDim, p.Length.SI, p.Length)
	if longest.Length > p.Length.SI {
		s.open("a cut is longer than the bar", "wanted")
		return -1
	}
	if len(pieces) > mostPieces {
		s.open(fmt.Sprintf("it has more than %d cuts", mostPieces), "wanted")
		return -1
	}
	kerf, assumed := n.Kerf(p)
	if assumed {
		x.assume(s, p.Path+".kerf", schema.Format(schema.LengthDim, kerf), "common practice: a saw's cut")
	}
	for _, u := range n.Uses {
		if u.Assumed != "" {
			x.assume(s, u.Where+".cut", u.Assumed, "common practice: short against the tube")
		}
	}
	plan, err := nesting.Cut(p.Length.SI, kerf, pieces)
	if err != nil {
		s.open(err.Error(), "wanted")
		return -1
	}
	return len(plan.Bars)
}
