package pdfobj

type entryKind uint8

const (
	entryUnknown entryKind = iota // not in any table: the null object
	entryFree
	entryPlain      // at an offset of the file
	entryCompressed // in an object stream
)

// entry is one line of the cross-reference table.
type entry struct {
	pos     int64  // offset in the file, or number of the object stream
	index   uint32 // index in the object stream
	gen     uint16
	kind    entryKind
	scanned bool // found by scanning the file, not in a table
}

const tablePage = 512

// table is a sparse array of entries: object numbers are mostly dense, but
// a hostile file may name any.
type table struct {
	pages map[int]*[tablePage]entry
	count int // known entries
	max   int // highest known number
}

func (t *table) get(num int) entry {
	if p := t.pages[num/tablePage]; p != nil && num >= 0 {
		return p[num%tablePage]
	}
	return entry{}
}

func (t *table) set(num int, e entry) {
	if t.pages == nil {
		t.pages = map[int]*[tablePage]entry{}
	}
	p := t.pages[num/tablePage]
	if p == nil {
		p = new([tablePage]entry)
		t.pages[num/tablePage] = p
	}
	if p[num%tablePage].kind == entryUnknown {
		t.count++
	}
	p[num%tablePage] = e
	t.max = max(t.max, num)
}

// add sets the entry unless a newer section of the file has set it.
func (t *table) add(num int, e entry) {
	if t.get(num).kind == entryUnknown {
		t.set(num, e)
	}
}

// numbers calls yield with each known number in rising order.
func (t *table) numbers(yield func(num int, e entry) bool) {
	for page := 0; page <= t.max/tablePage; page++ {
		p := t.pages[page]
		if p == nil {
			continue
		}
		for i, e := range p {
			if e.kind != entryUnknown && !yield(page*tablePage+i, e) {
				return
			}
		}
	}
}
