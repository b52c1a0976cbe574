package verify

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"sync"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"

	"quoin/impose/pdfobj"
)

// The second reader is pdfcpu, which shares no code with ours. A fault of our
// reader that our writer shares, in an escape or a number, would go unseen by
// ours alone. It is only asked to read, never to validate, which changes
// documents.
//
// It holds the whole file in memory, so it is left out above maxSecond. Measured
// by BenchmarkReadersRatio: for an artwork of 32 MB both take 1.8 times the time
// of ours alone, and 35 MB of memory where ours takes less than one; for the
// sample job 1.9 times.
const maxSecond = 64 << 20

// secondName is what people know the second reader by.
const secondName = "pdfcpu"

var quietly sync.Once

// secondReading is what the second reader has read.
type secondReading struct {
	*model.Context
	err error
}

var errTooLarge = fmt.Errorf("the second reader was left out: it would hold the whole file in memory, and takes files up to %d MB", maxSecond>>20)

// beginSecond has the second reader read a file while our own does.
func (c *check) beginSecond(path string) <-chan secondReading {
	done := make(chan secondReading, 1)
	c.beside.Go(func() {
		info, err := os.Stat(path)
		if err != nil || info.Size() > maxSecond {
			done <- secondReading{nil, errTooLarge}
			return
		}
		read, err := readSecond(path)
		done <- secondReading{read, err}
	})
	return done
}

// secondReader compares every object that the file reaches, as both read it.
func (c *check) secondReader(other secondReading) {
	switch other.err {
	case nil:
	case errTooLarge:
		c.note("%v", other.err)
		return
	default:
		// It can't read all that is legal, such as a filter's name by reference;
		// what is not legal, our own reader has told.
		c.note("the second reader, %s, can't read the file: %v", secondName, other.err)
		return
	}
	s := &second{check: c, table: other.XRefTable, seen: map[int]bool{}}
	root := c.doc.Trailer()["Root"]
	if other.Root == nil {
		c.differs(Readers, "", "%s finds no catalog", secondName)
		return
	}
	s.same("the catalog", root, *other.Root)
	if other.Info != nil {
		s.same("the information", c.doc.Trailer()["Info"], *other.Info)
	}
	for len(s.queue) > 0 {
		next := s.queue[len(s.queue)-1]
		s.queue = s.queue[:len(s.queue)-1]
		s.object(next)
	}
}

// readSecond reads a file with pdfcpu: with its core, because the package over
// it brings tables that would make every start of the program 20 ms longer.
func readSecond(path string) (ctx *model.Context, err error) {
	quietly.Do(func() { model.ConfigPath = "disable" }) // or it writes into the user's home
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("it failed: %v", p)
		}
	}()
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	conf := model.NewDefaultConfiguration()
	return pdfcpu.Read(f, conf)
}

// second is the comparison of two readings of one file.
type second struct {
	check *check
	table *model.XRefTable
	seen  map[int]bool
	queue []int
}

// same compares two readings of a value.
func (s *second) same(where string, ours pdfobj.Object, theirs types.Object) {
	if !s.equal(ours, theirs, 0) {
		s.check.differs(Readers, "", "%s reads %s otherwise than quoin does", secondName, where)
	}
}

func (s *second) object(num int) {
	where := fmt.Sprintf("object %d", num)
	ours, err := s.check.doc.Resolve(pdfobj.Ref{Num: num})
	theirs, other := s.table.Dereference(*types.NewIndirectRef(num, 0))
	switch {
	case other != nil:
		s.check.note("the second reader, %s, can't read object %d: %v", secondName, num, other)
	case err != nil || !s.equal(ours, theirs, 0):
		s.check.differs(Readers, where, "%s reads object %d otherwise than quoin does", secondName, num)
	}
}

func (s *second) equal(ours pdfobj.Object, theirs types.Object, depth int) bool {
	if depth > maxNesting {
		return false
	}
	switch v := theirs.(type) {
	case types.IndirectRef:
		ref, ok := ours.(pdfobj.Ref)
		if ok && !s.seen[ref.Num] {
			s.seen[ref.Num] = true
			s.queue = append(s.queue, ref.Num)
		}
		return ok && ref.Num == v.ObjectNumber.Value()
	case types.Dict:
		d, ok := ours.(pdfobj.Dict)
		return ok && s.dicts(d, v, depth)
	case types.Array:
		a, ok := ours.(pdfobj.Array)
		if !ok || len(a) != len(v) {
			return false
		}
		for i := range v {
			if !s.equal(a[i], v[i], depth+1) {
				return false
			}
		}
		return true
	case types.StreamDict:
		return s.streams(ours, &v, depth)
	case *types.StreamDict:
		return s.streams(ours, v, depth)
	}
	return scalar(ours, theirs)
}

// scalar compares values that hold no others.
func scalar(ours pdfobj.Object, theirs types.Object) bool {
	switch v := theirs.(type) {
	case nil:
		return ours == nil
	case types.Boolean:
		return ours == pdfobj.Object(v.Value())
	case types.Integer:
		n, ok := number(ours)
		return ok && n == float64(v)
	case types.Float:
		n, ok := number(ours)
		return ok && n == v.Value()
	case types.Name:
		return ours == pdfobj.Object(pdfobj.Name(v))
	case types.StringLiteral:
		raw, err := types.Unescape(string(v))
		return err == nil && ours == pdfobj.Object(pdfobj.String(raw))
	case types.HexLiteral:
		raw, err := v.Bytes()
		return err == nil && ours == pdfobj.Object(pdfobj.String(raw))
	}
	return false
}

func (s *second) dicts(ours pdfobj.Dict, theirs types.Dict, depth int) bool {
	n := 0
	for key, value := range theirs {
		if value == nil {
			continue
		}
		n++
		mine, ok := ours[pdfobj.Name(key)]
		if !ok || !s.equal(mine, value, depth+1) {
			return false
		}
	}
	return n == len(ours)
}

func (s *second) streams(ours pdfobj.Object, theirs *types.StreamDict, depth int) bool {
	mine, ok := ours.(*pdfobj.Stream)
	if !ok || !s.dicts(fullNames(mine.Dict), theirs.Dict, depth) {
		return false
	}
	r, err := mine.Raw()
	if err != nil {
		return false
	}
	_, same, err := equal(r, bytes.NewReader(theirs.Raw))
	return err == nil && same
}

// filterNames are the short names of filters, which the second reader replaces
// (ISO 32000-1 table 94).
var filterNames = map[pdfobj.Object]pdfobj.Name{
	pdfobj.Name("AHx"): "ASCIIHexDecode", pdfobj.Name("A85"): "ASCII85Decode", pdfobj.Name("LZW"): "LZWDecode", pdfobj.Name("Fl"): "FlateDecode",
	pdfobj.Name("RL"): "RunLengthDecode", pdfobj.Name("CCF"): "CCITTFaxDecode", pdfobj.Name("DCT"): "DCTDecode",
}

// fullNames returns a stream's dictionary with the full names of its filters.
func fullNames(d pdfobj.Dict) pdfobj.Dict {
	switch v := d["Filter"].(type) {
	case pdfobj.Name:
		if full, short := filterNames[v]; short {
			d = d.Clone()
			d["Filter"] = full
		}
	case pdfobj.Array:
		list := slices.Clone(v)
		for i, name := range list {
			if n, direct := name.(pdfobj.Name); direct {
				if full, short := filterNames[n]; short {
					list[i] = full
				}
			}
		}
		d = d.Clone()
		d["Filter"] = list
	}
	return d
}
