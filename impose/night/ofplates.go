package night

import "quoin/impose/artwork"

// OfPlates reports whether a code is of what is found on an artwork's plates: each
// artwork has places and inks of its own, so that no two texts are the same, and
// one line for all of them is what a person reads.
func OfPlates(code string) bool {
	switch code {
	case artwork.NearCut, artwork.BleedEmpty, artwork.FineInks, artwork.TotalInk, artwork.InkSparse:
		return true
	}
	return false
}
