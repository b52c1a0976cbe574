package barcode

import "quoin/geometry"

// limits say how large a symbol may be and how much light it needs around it.
type limits struct {
	least, usual, most geometry.Length // module; most 0: no limit
	// height of the bars at the usual module; those of EAN and UPC grow with
	// the module, the others are the same at any.
	height geometry.Length
	grows  bool
	// quiet zones in modules: at the left and right, and for matrices all round.
	left, right int
}

const (
	um = geometry.Micrometre
	mm = geometry.Millimetre
)

// The tables. EAN, UPC, ITF-14 and GS1-128: gs1.se, size guide, which quotes
// the symbol specification tables of the GS1 General Specifications. Code 128:
// ISO/IEC 15417 (quiet zone; the module is left to the application, the height
// is 15 % of the length or 5 mm; from memory, not checked). QR Code: quiet zone
// of ISO/IEC 18004 6.3.8; Data Matrix: ISO/IEC 16022 7.1. The modules of GS1
// matrices span the tables for health care and retail (from memory, not
// checked); those of others are common practice, no source.
var tables = map[Kind]limits{
	EAN13:         {264 * um, 330 * um, 660 * um, 22_850 * um, true, 11, 7},
	EAN8:          {264 * um, 330 * um, 660 * um, 18_230 * um, true, 7, 7},
	UPCA:          {264 * um, 330 * um, 660 * um, 22_850 * um, true, 9, 9},
	ITF14:         {495 * um, 495 * um, 1016 * um, 31_750 * um, false, 10, 10},
	GS1128:        {495 * um, 495 * um, 1016 * um, 31_750 * um, false, 10, 10},
	Code128:       {170 * um, 330 * um, 0, 10 * mm, false, 10, 10},
	UPCE:          {264 * um, 330 * um, 660 * um, 22_850 * um, true, 9, 7},
	Code39:        {170 * um, 330 * um, 0, 10 * mm, false, 10, 10},
	QR:            {170 * um, 400 * um, 0, 0, false, 4, 4},
	GS1QR:         {254 * um, 495 * um, 990 * um, 0, false, 4, 4},
	DataMatrix:    {170 * um, 400 * um, 0, 0, false, 1, 1},
	GS1DataMatrix: {254 * um, 380 * um, 990 * um, 0, false, 1, 1},
	// Heights of DataBar symbols are 33, 13, 10 and 34 modules; no quiet zone is
	// asked for, but the guards begin with a space (ISO/IEC 24724). Code 39 above:
	// ISO/IEC 16388; PDF417: ISO/IEC 15438, a quiet zone of two modules; Aztec:
	// ISO/IEC 24778, which asks for none. All from memory.
	DataBar:            {264 * um, 330 * um, 660 * um, 33 * 330 * um, true, 1, 1},
	DataBarTruncated:   {264 * um, 330 * um, 660 * um, 13 * 330 * um, true, 1, 1},
	DataBarLimited:     {170 * um, 330 * um, 660 * um, 10 * 330 * um, true, 1, 5},
	DataBarExpanded:    {264 * um, 330 * um, 660 * um, 34 * 330 * um, true, 1, 1},
	DataBarStacked:     {264 * um, 330 * um, 660 * um, 0, false, 1, 1},
	DataBarStackedOmni: {264 * um, 330 * um, 660 * um, 0, false, 1, 1},
	PDF417:             {170 * um, 255 * um, 0, 0, false, 2, 2},
	Aztec:              {170 * um, 380 * um, 0, 0, false, 1, 1},
}

// distribution holds the least and usual module where EAN symbols are scanned
// in a warehouse (gs1.se, size guide).
var distribution = limits{least: 495 * um, usual: 660 * um}

// healthCare holds the sizes of a GS1-128 on regulated health care items that
// are not scanned at a till (GS1 General Specifications, symbol specification
// table 6; from memory, not checked).
var healthCare = limits{least: 170 * um, most: 495 * um, height: 12_700 * um}

// tallest returns the height that the tables ask of bars with a module, where the
// usual module has the table's.
func (l limits) tallest(x, usual geometry.Length) geometry.Length {
	if l.grows {
		return l.height * x / usual
	}
	return l.height
}
