package glimpse

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// Source is a PDF file.
type Source interface {
	io.ReadSeeker
	io.ReaderAt
}

// reader gives a file's objects one by one, each as pdfcpu parses it: as a whole, that
// would hold every stream of the file in memory.
type reader struct {
	ctx    context.Context
	file   Source
	size   int64
	parser *model.Context
	table  []position // by object number
	groups map[int]*group
	root   types.Object
}

// position says where an object stands.
type position struct {
	offset int64 // 0: nowhere, or in a group
	group  int   // number of the object stream; 0: none
	index  int   // in there
}

// group is an object stream: the text of its objects.
type group struct{ texts []string }

const (
	mostGroups  = 16
	mostDecoded = 16 << 20 // bytes of one stream
	mostSteps   = 32       // along references
)

var quietly sync.Once

func newReader(ctx context.Context, file Source, size int64) (*reader, error) {
	quietly.Do(func() { model.ConfigPath = "disable" }) // or it writes into the user's home
	parser, err := model.NewContext(file, model.NewDefaultConfiguration())
	if err != nil {
		return nil, err
	}
	r := &reader{ctx: ctx, file: file, size: size, parser: parser, groups: map[int]*group{}}
	return r, r.readTable()
}

// at parses the object at an offset.
func (r *reader) at(offset int64, number int) (types.Object, error) {
	if offset <= 0 || offset >= r.size {
		return nil, fmt.Errorf("object %d lies outside of the file", number)
	}
	o, err := pdfcpu.ParseObjectWithContext(r.ctx, r.parser, offset, number, 0)
	if err != nil {
		return nil, err
	}
	if s, ok := o.(types.StreamDict); ok {
		return &s, nil
	}
	return o, nil
}

// resolve follows references; nil for none. Streams are pointers to theirs.
func (r *reader) resolve(o types.Object) (types.Object, error) {
	for range mostSteps {
		ref, ok := o.(types.IndirectRef)
		if !ok {
			return o, nil
		}
		var err error
		if o, err = r.object(ref.ObjectNumber.Value()); err != nil {
			return nil, err
		}
	}
	return nil, errors.New("references go round and round")
}

func (r *reader) object(number int) (types.Object, error) {
	if number <= 0 || number >= len(r.table) {
		return nil, nil
	}
	at := r.table[number]
	if at.group == 0 {
		if at.offset == 0 {
			return nil, nil
		}
		return r.at(at.offset, number)
	}
	g, err := r.group(at.group)
	if err != nil {
		return nil, err
	}
	if at.index >= len(g.texts) {
		return nil, fmt.Errorf("object %d is not in its object stream", number)
	}
	text := g.texts[at.index]
	return model.ParseObjectContext(r.ctx, &text, 0)
}

// group reads an object stream (ISO 32000-1 7.5.7).
func (r *reader) group(number int) (*group, error) {
	if g := r.groups[number]; g != nil {
		return g, nil
	}
	if number >= len(r.table) || r.table[number].offset == 0 {
		return nil, fmt.Errorf("there is no object stream %d", number)
	}
	o, err := r.at(r.table[number].offset, number)
	if err != nil {
		return nil, err
	}
	s, ok := o.(*types.StreamDict)
	if !ok || s.First() == nil || s.N() == nil {
		return nil, fmt.Errorf("object %d is no object stream", number)
	}
	data, err := r.decoded(s)
	if err != nil {
		return nil, err
	}
	first := *s.First()
	if first < 0 || first > len(data) {
		return nil, fmt.Errorf("the head of object stream %d is cut short", number)
	}
	head := strings.Fields(string(data[:first]))
	if len(head) != 2**s.N() {
		return nil, fmt.Errorf("object stream %d says %d times what it holds", number, len(head))
	}
	g := &group{}
	from := first
	for i := 1; i < len(head); i += 2 {
		end := len(data)
		if i+2 < len(head) {
			next, err := strconv.Atoi(head[i+2])
			if err != nil {
				return nil, err
			}
			end = first + next
		}
		if end < from || end > len(data) {
			return nil, fmt.Errorf("objects overlap in object stream %d", number)
		}
		g.texts = append(g.texts, string(data[from:end]))
		from = end
	}
	if len(r.groups) >= mostGroups {
		clear(r.groups)
	}
	r.groups[number] = g
	return g, nil
}

// raw gives a stream's bytes as they stand in the file.
func (r *reader) raw(s *types.StreamDict) ([]byte, error) {
	length := int64(-1)
	if s.StreamLength != nil {
		length = *s.StreamLength
	} else if s.StreamLengthObjNr != nil {
		o, err := r.object(*s.StreamLengthObjNr)
		if n, ok := o.(types.Integer); ok && err == nil {
			length = int64(n)
		}
	}
	if length < 0 || length > mostDecoded || s.StreamOffset+length > r.size {
		return nil, fmt.Errorf("a stream of %d bytes", length)
	}
	raw := make([]byte, length)
	_, err := r.file.ReadAt(raw, s.StreamOffset)
	return raw, err
}

// decoded gives what a stream holds.
func (r *reader) decoded(s *types.StreamDict) ([]byte, error) {
	one := *s
	var err error
	if one.Raw, err = r.raw(s); err != nil {
		return nil, err
	}
	if len(one.FilterPipeline) == 0 {
		return one.Raw, nil
	}
	for _, f := range one.FilterPipeline {
		switch f.Name {
		case "FlateDecode", "ASCII85Decode", "ASCIIHexDecode", "LZWDecode", "RunLengthDecode":
		default:
			return nil, fmt.Errorf("a stream behind the filter %s", f.Name)
		}
	}
	err = one.DecodeWithLimit(mostDecoded)
	return one.Content, err
}
