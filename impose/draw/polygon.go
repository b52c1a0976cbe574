package draw

import (
	"math"

	"quoin/geometry"
)

// curveSteps is how many straight lines stand for a curve: off by less than
// 0.2 % of a quarter circle's radius.
const curveSteps = 16

// Polygons returns the parts of a path with straight lines for its curves.
func (p Path) Polygons() (list [][]geometry.Position) {
	var part []geometry.Position
	at := 0
	for _, v := range p.Verbs {
		points := p.Points[at : at+v.Points()]
		at += v.Points()
		switch v {
		case MoveTo:
			if len(part) > 1 {
				list = append(list, part)
			}
			part = []geometry.Position{points[0]}
		case LineTo:
			part = append(part, points[0])
		case CurveTo:
			part = append(part, curve(part[len(part)-1], points)...)
		case Close:
			if len(part) > 1 {
				list = append(list, part)
				part = part[:1:1]
			}
		}
	}
	if len(part) > 1 {
		list = append(list, part)
	}
	return list
}

func curve(from geometry.Position, points []geometry.Position) []geometry.Position {
	out := make([]geometry.Position, curveSteps)
	for i := range out {
		t := float64(i+1) / curveSteps
		s := 1 - t
		w := [4]float64{s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t}
		at := func(coordinate func(geometry.Position) geometry.Length) geometry.Length {
			sum := w[0] * float64(coordinate(from))
			for k, p := range points {
				sum += w[k+1] * float64(coordinate(p))
			}
			return geometry.Length(math.Round(sum))
		}
		out[i] = geometry.Position{
			Across: at(func(p geometry.Position) geometry.Length { return p.Across }),
			Around: at(func(p geometry.Position) geometry.Length { return p.Around }),
		}
	}
	return out
}

// Area returns what a path fills, in mm²: parts that turn the other way are holes.
func (p Path) Area() float64 {
	var sum float64
	for _, part := range p.Polygons() {
		for i, a := range part {
			b := part[(i+1)%len(part)]
			sum += a.Across.MM()*b.Around.MM() - b.Across.MM()*a.Around.MM()
		}
	}
	return math.Abs(sum) / 2
}

// LengthMM returns how long the lines of a path are.
func (p Path) LengthMM() float64 {
	var sum float64
	for _, part := range p.Polygons() {
		for i := 1; i < len(part); i++ {
			sum += math.Hypot((part[i].Across - part[i-1].Across).MM(), (part[i].Around - part[i-1].Around).MM())
		}
	}
	return sum
}
