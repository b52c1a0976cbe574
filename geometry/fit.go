package geometry

// LanesIn returns the most lanes that a band takes: the largest n with
// n*label + (n-1)*gap + 2*bleed <= band, 0 when not even one fits. The outer
// bleeds count because they must print, and must not run into a target lane.
// All lengths across; label must be positive.
func LanesIn(band, label, gap, bleed Length) int {
	free := band - 2*bleed
	if free < label || label+gap <= 0 {
		return 0
	}
	return int((free + gap) / (label + gap))
}

// RowsIn returns the most rows that a repeat takes, as a ring: the largest n with
// n*(label + gap) <= repeat. The frame starts and ends at half a gap, so that
// frames butt without a seam. All lengths around; a label and a gap that come to
// nothing give 0.
func RowsIn(repeat, label, gap Length) int {
	if repeat < label+gap || label+gap <= 0 {
		return 0
	}
	return int(repeat / (label + gap))
}

// BlockWidth returns what n lanes take across, trim to trim.
func BlockWidth(n int, label, gap Length) Length {
	if n == 0 {
		return 0
	}
	return Length(n)*(label+gap) - gap
}
