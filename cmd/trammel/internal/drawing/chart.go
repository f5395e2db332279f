package drawing

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"trammel.example/checks"
	"trammel.example/schema"
)

const (
	chartWidth  = 520.0 // px
	chartHeight = 260.0
	legendRow   = 18.0
)

// arrives is how a stroke ends that is as it should be.
const arrives = "arrives"

// A series is one line of a chart, or the level of a limit. Values that are not numbers leave gaps.
type series struct {
	name string
	x, y []float64
}

// Strokes of series, told apart by their dashes as well. The colours stand out from light and dark paper alike, by 3:1 and more.
var strokes = []struct {
	colour color.RGBA
	dash   []float64
}{
	{color.RGBA{0x1f, 0x7f, 0x93, 0xff}, nil},
	{color.RGBA{0xb9, 0x5a, 0x1c, 0xff}, []float64{8, 3}},
	{color.RGBA{0x8a, 0x55, 0xb5, 0xff}, []float64{2, 3}},
	{color.RGBA{0x4d, 0x83, 0x3a, 0xff}, []float64{8, 3, 2, 3}},
	{color.RGBA{0x76, 0x76, 0x76, 0xff}, []float64{14, 4}},
}

// chart draws lines over labelled axes. Where no line has values, it says why instead.
func chart(id, title, x, y string, lines []series, none string) Picture {
	if !slices.ContainsFunc(lines, func(s series) bool { return len(pieces(s)) > 0 }) {
		return emptyChart(id, title, "There is nothing to draw: "+none+".")
	}
	p := plot.New()
	p.BackgroundColor = nil
	p.X.Label.Text, p.Y.Label.Text = x, y
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Label.TextStyle.Font.Variant, a.Tick.Label.Font.Variant = "Sans", "Sans"
		a.Label.TextStyle.Font.Size, a.Tick.Label.Font.Size = 12, 11
		a.Padding = 2
		a.LineStyle.Width, a.Tick.LineStyle.Width = 1, 1 // thinner ones come out darker or lighter, as the program that draws them rounds
	}
	grid := plotter.NewGrid()
	grey := color.RGBA{0x8c, 0x8c, 0x8c, 0xff}
	grid.Vertical.Color, grid.Horizontal.Color = grey, grey
	grid.Vertical.Width, grid.Horizontal.Width = 0.3, 0.3
	p.Add(grid)
	unseen := leastSeen(lines)
	for i, s := range lines {
		for _, piece := range pieces(s) {
			stroke := strokes[i%len(strokes)]
			line := &plotter.Line{XYs: unseen(piece), LineStyle: draw.LineStyle{Color: stroke.colour, Width: 2}}
			for _, d := range stroke.dash {
				line.Dashes = append(line.Dashes, vg.Length(d))
			}
			p.Add(line)
		}
	}
	p.Y.Min = min(p.Y.Min, 0)
	if p.Y.Max == p.Y.Min {
		p.Y.Max = p.Y.Min + 1
	}
	p.Y.Max += 0.05 * (p.Y.Max - p.Y.Min)
	canvas := vgsvg.New(chartWidth, chartHeight)
	p.Draw(draw.Crop(draw.New(canvas), 4, -16, 4, -6)) // the last tick's label is wider than its tick
	var drawn bytes.Buffer
	canvas.WriteTo(&drawn) // a buffer takes all
	_, inner, _ := strings.Cut(drawn.String(), "<svg")
	_, inner, _ = strings.Cut(inner, ">")
	inner, _, _ = strings.Cut(inner, "</svg>")
	// Names have no '#' and no ';', so that only colours and fonts are replaced.
	inner = strings.NewReplacer("#000000", "currentColor", "font-family:Liberation Sans;font-variant:normal;font-weight:normal;font-style:normal;", "", "\n\t", " ", "\n", "").Replace(inner)

	rows := legend(lines)
	top := float64(len(rows))*legendRow + 8
	q := &pen{}
	var names []string
	for _, s := range lines {
		names = append(names, s.name)
	}
	q.begin(id, title, fmt.Sprintf("Chart of %s over %s: %s.", y, x, strings.Join(names, "; ")), chartWidth, chartHeight+top)
	for r, row := range rows {
		at := 12.0
		for _, i := range row {
			stroke := strokes[i%len(strokes)]
			var dash []string
			for _, d := range stroke.dash {
				dash = append(dash, num(d))
			}
			h := 14 + float64(r)*legendRow
			q.tag("line", "x1", at, "y1", h-4, "x2", at+34, "y2", h-4, "stroke", fmt.Sprintf("#%02x%02x%02x", stroke.colour.R, stroke.colour.G, stroke.colour.B), "stroke-width", "2", "stroke-dasharray", strings.Join(dash, " "))
			q.text(at+40, h, "start", "small", short(lines[i].name, legendName))
			at += legendWidth(lines[i].name)
		}
	}
	q.b.WriteString(`<g transform="translate(0 ` + num(top) + `)">` + inner + "</g>")
	return Picture{id, title, q.end()}
}

// emptyChart stands where a chart would, and says why there is none.
func emptyChart(id, title, why string) Picture {
	const height = 44.0
	p := &pen{}
	p.begin(id, title, why, chartWidth, height)
	p.text(12, height/2+4, "start", "small strong", why)
	return Picture{id, title, p.end()}
}

// legendName is how much of a name stands in a legend.
const legendName = 52

func legendWidth(name string) float64 {
	return 40 + 6.4*float64(len([]rune(short(name, legendName)))) + 18
}

// legend puts the lines of a chart in rows.
func legend(lines []series) (rows [][]int) {
	used := math.Inf(1)
	for i, s := range lines {
		w := legendWidth(s.name)
		if used+w > chartWidth-12 {
			rows, used = append(rows, nil), 12
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], i)
		used += w
	}
	return rows
}

// leastSeen gives what leaves out the values of a line that would not be seen in the chart.
func leastSeen(lines []series) func(plotter.XYs) plotter.XYs {
	least, most := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, s := range lines {
		for _, piece := range pieces(s) {
			for _, q := range piece {
				least = [2]float64{min(least[0], q.X), min(least[1], q.Y)}
				most = [2]float64{max(most[0], q.X), max(most[1], q.Y)}
			}
		}
	}
	x, y := chartWidth/max(most[0]-least[0], 1e-300), chartHeight/max(most[1]-least[1], 1e-300)
	return func(piece plotter.XYs) plotter.XYs {
		points := make([][2]float64, len(piece))
		for i, q := range piece {
			points[i] = [2]float64{q.X * x, q.Y * y}
		}
		kept := make(plotter.XYs, 0, len(piece))
		for _, q := range thinned(points) {
			kept = append(kept, plotter.XY{X: q[0] / x, Y: q[1] / y})
		}
		return kept
	}
}

// pieces are the parts of a series between its gaps.
func pieces(s series) (all []plotter.XYs) {
	var piece plotter.XYs
	for i := range s.x {
		if i >= len(s.y) || !finite(s.x[i]) || !finite(s.y[i]) {
			if len(piece) > 1 {
				all = append(all, piece)
			}
			piece = nil
			continue
		}
		piece = append(piece, plotter.XY{X: s.x[i], Y: s.y[i]})
	}
	if len(piece) > 1 {
		all = append(all, piece)
	}
	return all
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// in turns SI values into those of a unit.
func in(dim schema.Dimension, unit string, si []float64) []float64 {
	u, _ := schema.UnitOf(dim, unit)
	all := make([]float64, len(si))
	for i, x := range si {
		all[i] = u.From(x)
	}
	return all
}

// Charts are those of a machine's strokes: forces and transmission angles over the stroke, speeds and pressures over time.
func Charts(id string, courses []checks.Course, timed []checks.TimedStroke) (all []Picture) {
	add := func(name, title, x, y string, lines []series, none string) {
		all = append(all, chart(fmt.Sprintf("%s-%s%d", id, name, len(all)), title, x, y, lines, none))
	}
	for _, c := range courses {
		if len(c.Stroke) < 2 {
			continue
		}
		x, of := in(schema.LengthDim, "mm", c.Stroke), strings.TrimSpace("cylinder "+c.Cylinder+" "+c.Others)
		ends := []float64{x[0], x[len(x)-1]}
		var lines []series
		if len(c.Out.Needed) > 0 {
			lines = append(lines, series{"needed going out", x, c.Out.Needed})
			if !math.IsNaN(c.Out.Given) {
				lines = append(lines, series{"available going out", ends, []float64{c.Out.Given, c.Out.Given}})
			}
			lines = append(lines, series{"needed coming in", x, c.In.Needed})
			if !math.IsNaN(c.In.Given) {
				lines = append(lines, series{"available coming in", ends, []float64{c.In.Given, c.In.Given}})
			}
			add("force", "Force along the rod of "+of, "rod out (mm)", "force (N)", lines, "it is known in no pose of the stroke")
		}
		if len(c.Passings) > 0 {
			lines = nil
			for _, p := range c.Passings {
				lines = append(lines, series{p.Link + " at " + p.Point, x, in(schema.AngleDim, "deg", p.Angle)})
			}
			add("angle", "Transmission angle, moved by "+of, "rod out (mm)", "angle (°)", lines, "it is known in no pose of the stroke")
		}
	}
	for i, t := range timed {
		if t.Way == "out" || i == 0 || timed[i-1].Cylinder != t.Cylinder {
			var lines []series
			for _, o := range timed {
				if o.Cylinder == t.Cylinder {
					way := "going " + o.Way
					if o.How != arrives {
						way += ": " + o.How
					}
					lines = append(lines, series{way, o.Time, o.Speed})
				}
			}
			add("speed", "Speed of the rod of "+t.Cylinder+", outward positive. Seals drag more the faster they go: that is left out, and a real rod swings less.", "time since the valve shifts (s)", "speed (m/s)", lines, "the rod never moves")
		}
		lines := []series{{"rear chamber", t.Time, in(schema.PressureDim, "bar", t.Rear)}, {"front chamber", t.Time, in(schema.PressureDim, "bar", t.Front)}}
		add("pressure", "Pressures in "+t.Cylinder+" as the rod goes "+t.Way, "time since the valve shifts (s)", "gauge pressure (bar)", lines, "the rod "+t.How)
	}
	return all
}
