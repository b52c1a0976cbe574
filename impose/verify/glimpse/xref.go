package glimpse

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// mostObjects bounds the table of a file.
const mostObjects = 1 << 22

// readTable reads the cross-reference streams (ISO 32000-1 7.5.8), which is all that
// our parts have.
func (r *reader) readTable() error {
	tail := make([]byte, min(r.size, 1024))
	if _, err := r.file.ReadAt(tail, r.size-int64(len(tail))); err != nil {
		return err
	}
	const word = "startxref"
	i := bytes.LastIndex(tail, []byte(word))
	if i < 0 {
		return errors.New("the file has no end")
	}
	fields := bytes.Fields(tail[i+len(word):])
	if len(fields) == 0 {
		return errors.New("the file has no end")
	}
	offset, err := strconv.ParseInt(string(fields[0]), 10, 64)
	if err != nil {
		return err
	}
	for range mostSteps {
		s, err := r.section(offset)
		if err != nil {
			return err
		}
		if r.root == nil {
			r.root = s.Dict["Root"]
			if s.Dict["Encrypt"] != nil {
				return errors.New("the file is encrypted")
			}
		}
		previous, more := s.Dict["Prev"].(types.Integer)
		if !more {
			return nil
		}
		offset = int64(previous)
	}
	return errors.New("the file was changed too often")
}

// section reads one of them. What a later one said stands.
func (r *reader) section(offset int64) (*types.StreamDict, error) {
	o, err := r.at(offset, 0)
	if err != nil {
		return nil, err
	}
	s, ok := o.(*types.StreamDict)
	if !ok || s.Type() == nil || *s.Type() != "XRef" || s.Size() == nil || s.W() == nil {
		return nil, errors.New("the file has a cross-reference table of another kind")
	}
	var width [3]int
	total := 0
	if len(s.W()) != len(width) {
		return nil, errors.New("a cross-reference stream of other fields")
	}
	for i, o := range s.W() {
		n, ok := o.(types.Integer)
		if !ok || n < 0 || n > 8 {
			return nil, errors.New("a cross-reference stream of other fields")
		}
		width[i] = int(n)
		total += int(n)
	}
	size := *s.Size()
	if size <= 0 || size > mostObjects || total == 0 {
		return nil, fmt.Errorf("a table of %d objects", size)
	}
	data, err := r.decoded(s)
	if err != nil {
		return nil, err
	}
	index := s.Index()
	if index == nil {
		index = types.Array{types.Integer(0), types.Integer(size)}
	}
	if len(r.table) < size {
		r.table = append(r.table, make([]position, size-len(r.table))...)
	}
	for i := 0; i+1 < len(index); i += 2 {
		first, ok1 := index[i].(types.Integer)
		count, ok2 := index[i+1].(types.Integer)
		if !ok1 || !ok2 || first < 0 || count < 0 || int(first)+int(count) > size || len(data) < int(count)*total {
			return nil, errors.New("a cross-reference stream that is cut short")
		}
		for n := range int(count) {
			r.enter(int(first)+n, data[n*total:], width)
		}
		data = data[int(count)*total:]
	}
	return s, nil
}

// enter notes where an object stands.
func (r *reader) enter(number int, line []byte, width [3]int) {
	var v [3]int64
	for i, w := range width {
		if i == 0 && w == 0 {
			v[0] = 1 // table 17: what is left out is 1
		}
		for _, b := range line[:w] {
			v[i] = v[i]<<8 | int64(b)
		}
		line = line[w:]
	}
	if r.table[number] != (position{}) {
		return
	}
	switch v[0] {
	case 0:
		r.table[number] = position{index: -1} // free, whatever an earlier section says
	case 1:
		r.table[number] = position{offset: v[1]}
	case 2:
		r.table[number] = position{group: int(v[1]), index: int(v[2])}
	}
}
