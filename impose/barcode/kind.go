package barcode

import "slices"

// Kind is a symbology, and for GS1 the way its data are written.
type Kind string

// The kinds of symbols.
const (
	EAN13              Kind = "ean-13"
	EAN8               Kind = "ean-8"
	UPCA               Kind = "upc-a"
	ITF14              Kind = "itf-14"
	Code128            Kind = "code-128"
	GS1128             Kind = "gs1-128"
	UPCE               Kind = "upc-e"
	Code39             Kind = "code-39"
	DataBar            Kind = "gs1-databar"
	DataBarTruncated   Kind = "gs1-databar-truncated"
	DataBarLimited     Kind = "gs1-databar-limited"
	DataBarExpanded    Kind = "gs1-databar-expanded"
	DataBarStacked     Kind = "gs1-databar-stacked"
	DataBarStackedOmni Kind = "gs1-databar-stacked-omni"
	PDF417             Kind = "pdf417"
	Aztec              Kind = "aztec"
	QR                 Kind = "qr"
	GS1QR              Kind = "gs1-qr"
	DataMatrix         Kind = "data-matrix"
	GS1DataMatrix      Kind = "gs1-data-matrix"
)

// Kinds lists them all, linear ones first.
func Kinds() []Kind {
	return []Kind{
		EAN13, EAN8, UPCA, UPCE, ITF14, Code39, Code128, GS1128, DataBar, DataBarTruncated, DataBarLimited, DataBarExpanded,
		QR, GS1QR, DataMatrix, GS1DataMatrix, DataBarStacked, DataBarStackedOmni, PDF417, Aztec,
	}
}

// Known reports whether there is such a kind.
func (k Kind) Known() bool { return slices.Contains(Kinds(), k) }

// Linear reports whether the symbol is a row of bars.
func (k Kind) Linear() bool { return slices.Index(Kinds(), k) < slices.Index(Kinds(), QR) }

// GS1 reports whether the data are GS1 element strings: "(01)...(10)...".
func (k Kind) GS1() bool {
	return k == GS1128 || k == GS1QR || k == GS1DataMatrix || k == DataBarExpanded
}

// Item reports whether the symbol holds the number of a trade item and nothing
// else.
func (k Kind) Item() bool { return k.digits() > 0 }

// bar reports whether it is a DataBar that holds an item's number.
func (k Kind) bar() bool {
	return k == DataBar || k == DataBarTruncated || k == DataBarLimited || k == DataBarStacked || k == DataBarStackedOmni
}

// digits returns how many digits a symbol of fixed length holds, the check digit
// included; 0 for the others.
func (k Kind) digits() int {
	switch k {
	case EAN13:
		return 13
	case EAN8:
		return 8
	case UPCA:
		return 12
	case UPCE:
		return 8
	case ITF14, DataBar, DataBarTruncated, DataBarLimited, DataBarStacked, DataBarStackedOmni:
		return 14
	}
	return 0
}
