package cielab

import "math"

// DE76 returns the colour difference of 1976, the distance in CIELAB (ISO
// 11664-4), in which older tolerances are stated.
func DE76(a, b Lab) float64 {
	return math.Sqrt((a.L-b.L)*(a.L-b.L) + (a.A-b.A)*(a.A-b.A) + (a.B-b.B)*(a.B-b.B))
}

// DE00 returns the colour difference CIEDE2000 (ISO/CIE 11664-6) with kL, kC
// and kH of 1.
func DE00(a, b Lab) float64 {
	mean := (a.Chroma() + b.Chroma()) / 2
	g := 0.5 * (1 - math.Sqrt(seventh(mean)))
	a.A, b.A = a.A*(1+g), b.A*(1+g)
	ca, cb := a.Chroma(), b.Chroma()
	ha, hb := a.Hue(), b.Hue()

	turn := hb - ha
	switch {
	case ca*cb == 0:
		turn = 0
	case turn > 180:
		turn -= 360
	case turn < -180:
		turn += 360
	}
	hue := ha + hb
	switch {
	case ca*cb == 0:
	case math.Abs(ha-hb) <= 180:
		hue /= 2
	case hue < 360:
		hue = (hue + 360) / 2
	default:
		hue = (hue - 360) / 2
	}

	l, c := (a.L+b.L)/2-50, (ca+cb)/2
	t := 1 - 0.17*cosd(hue-30) + 0.24*cosd(2*hue) + 0.32*cosd(3*hue+6) - 0.20*cosd(4*hue-63)
	sl := 1 + 0.015*l*l/math.Sqrt(20+l*l)
	sc := 1 + 0.045*c
	sh := 1 + 0.015*c*t
	twist := 60 * math.Exp(-((hue-275)/25)*((hue-275)/25))
	rt := -2 * math.Sqrt(seventh(c)) * math.Sin(twist*math.Pi/180)

	dl := (b.L - a.L) / sl
	dc := (cb - ca) / sc
	dh := 2 * math.Sqrt(ca*cb) * math.Sin(turn/2*math.Pi/180) / sh
	return math.Sqrt(dl*dl + dc*dc + dh*dh + rt*dc*dh)
}

// DH returns the difference in hue of 1976, without its sign: what is left of
// the distance when lightness and chroma are taken out.
func DH(a, b Lab) float64 {
	d := DE76(a, b)
	dl, dc := a.L-b.L, a.Chroma()-b.Chroma()
	return math.Sqrt(max(0, d*d-dl*dl-dc*dc))
}

func seventh(c float64) float64 {
	const twentyFive = 6103515625 // 25 to the 7th
	p := math.Pow(c, 7)
	return p / (p + twentyFive)
}

func cosd(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }
