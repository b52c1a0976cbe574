package job

import "quoin/geometry"

// Data says where the records of variable data come from, and how they are
// printed. A file and a count are never both given.
type Data struct {
	File     string // CSV, as written; see Job.Dir
	Count    int64  // of records without a file
	Digits   []DataDigits
	Counters []Counter
	Randoms  []Random
	Artwork  string // text that names the artwork of each label, as {file} or {file}#2; "": the job's own
	Copies   int64  // of each record; 0: one
	CopiesBy string // column that holds the copies of its row, instead
	First    int64  // record that is printed first, and last; 0: all
	Last     int64
	Order    DataOrder // default OrderLanes
	Spare    Spare     // default SpareBlank
	DPI      int       // of the device across the web; 0: as the press writes
	Around   int       // the same along its travel
	// Unique names the values that no two labels share. Nil means what their
	// fields say; empty means nothing.
	Unique     []string
	Reductions []Reduction
	ChangeOver *ChangeOver // nil: nothing stands between rolls
}

// ChangeOver says what stands between two finished rolls of a lane: labels without
// a record.
type ChangeOver struct {
	Labels  int64
	Artwork string  // page of a PDF file, of the label's size; "": none
	Fields  []Field // texts; empty: what roll ends
}

// Reduction is what bars lose of their width, because an ink spreads.
type Reduction struct {
	Ink  string
	Dots int // of the device
}

// DataDigits says what becomes of the check digit of a column.
type DataDigits struct {
	Column string
	Scheme CheckScheme
	Add    bool // work it out, instead of checking the one that is there
}

// CheckScheme is a way to work out a check digit.
type CheckScheme string

// The schemes.
const (
	SchemeGS1  CheckScheme = "gs1"
	SchemeLuhn CheckScheme = "luhn"
)

// Counter numbers the records.
type Counter struct {
	Name   string
	Start  int64 // default 1
	Step   int64 // default 1
	Digits int   // at least so many, with leading zeros
	Check  CheckScheme
	// Letters are what the digits are written with; "" for 0 to 9.
	Letters string
}

// Random gives each record a code that can't be guessed, and no other has.
type Random struct {
	Name    string
	Length  int
	Letters string
	Seed    string // what the codes depend on, written in the job
	Key     string // or a file that holds it
	Start   int64  // number of the first code of the key, for runs that go on
}

// DataOrder says how records run over the lanes.
type DataOrder string

// The orders.
const (
	OrderLanes  DataOrder = "lanes"  // each lane a block of records of its own
	OrderAcross DataOrder = "across" // from lane to lane, row by row
)

// Spare says what stands at stations that no record is left for.
type Spare string

// The ways to fill spare stations.
const (
	SpareBlank  Spare = "blank"
	SpareVoid   Spare = "void"
	SpareRepeat Spare = "repeat"
)

// Element is a GS1 application identifier with its value, in which columns and
// counters are named.
type Element struct{ AI, Value string }

// Field is text or a symbol that differs from label to label.
type Field struct {
	Name      string
	Value     string        // text with {names} of columns and counters; "" with Elements
	Elements  []Element     // of GS1 data
	Link      string        // domain of a GS1 Digital Link that the elements are written as
	At        geometry.Size // from the upright label's top left, across and down
	Turn      geometry.Turn // on the upright label
	Ink       string        // default Black
	Overprint bool

	Picture    bool   // Value names a PNG, a JPEG, or a page of a PDF file, as in {file} or {file}#2
	Symbol     string // kind of barcode; "" is text
	Module     geometry.Length
	Height     geometry.Length // of bars, or of a box of text
	Level      string          // of a QR Code
	Modules    int             // least along the side of a matrix
	Shape      string          // of a Data Matrix: square or rectangular
	Plain      bool            // no text below bars
	Warehouse  bool            // an EAN that is scanned in distribution
	HealthCare bool            // a GS1-128 in the sizes of health care
	Font       string
	Fonts      []string        // font files, instead of Font
	Leading    geometry.Length // from line to line in a box
	Cap        geometry.Length // height of capitals
	Width      geometry.Length // room along the line, or of a picture
	Align      string
	Fit        string          // of text or of a picture
	Least      geometry.Length // height of capitals that shrinking ends at
	LeastWidth geometry.Share  // that squeezing ends at; 0: the default
}
