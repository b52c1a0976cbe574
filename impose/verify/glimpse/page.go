package glimpse

import (
	"errors"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// page is what a page says, with what it inherits (ISO 32000-1 7.7.3.4).
type page struct {
	resources types.Dict
	contents  types.Object
	height    float64 // points
}

// dict gives a dictionary, which may be that of a stream; nil for anything else.
func (r *reader) dict(o types.Object) types.Dict {
	v, err := r.resolve(o)
	if err != nil {
		return nil
	}
	switch v := v.(type) {
	case types.Dict:
		return v
	case *types.StreamDict:
		return v.Dict
	}
	return nil
}

func (r *reader) array(o types.Object) types.Array {
	v, _ := r.resolve(o)
	a, _ := v.(types.Array)
	return a
}

func (r *reader) name(o types.Object) string {
	v, _ := r.resolve(o)
	n, _ := v.(types.Name)
	return string(n)
}

func (r *reader) number(o types.Object) (float64, bool) {
	v, _ := r.resolve(o)
	switch v := v.(type) {
	case types.Integer:
		return float64(v), true
	case types.Float:
		return float64(v), true
	}
	return 0, false
}

func (r *reader) numbers(o types.Object) (list []float64) {
	for _, e := range r.array(o) {
		v, ok := r.number(e)
		if !ok {
			return nil
		}
		list = append(list, v)
	}
	return list
}

// page finds a page by its number, from 0, by the counts of the tree's nodes.
func (r *reader) page(number int) (*page, error) {
	root := r.dict(r.root)
	node := r.dict(root["Pages"])
	inherited := types.Dict{}
	for range mostSteps {
		for _, key := range []string{"Resources", "MediaBox", "CropBox", "Rotate"} {
			if node[key] != nil {
				inherited[key] = node[key]
			}
		}
		if r.name(node["Type"]) == "Page" {
			return r.laid(node, inherited)
		}
		kids := r.array(node["Kids"])
		node = nil
		for _, kid := range kids {
			k := r.dict(kid)
			n := 1
			if r.name(k["Type"]) == "Pages" {
				count, ok := r.number(k["Count"])
				if !ok {
					return nil, errors.New("a node of the page tree without a count")
				}
				n = int(count)
			}
			if number < n {
				node = k
				break
			}
			number -= n
		}
		if node == nil {
			return nil, errors.New("there are no such pages")
		}
	}
	return nil, errors.New("the page tree is too deep")
}

// laid reads a page that lies as our pages do: upright, from the origin on, all of it
// shown.
func (r *reader) laid(node, inherited types.Dict) (*page, error) {
	box := r.numbers(inherited["MediaBox"])
	crop := r.numbers(inherited["CropBox"])
	if len(box) != 4 || box[0] != 0 || box[1] != 0 || inherited["CropBox"] != nil && (len(crop) != 4 || [4]float64(crop) != [4]float64(box)) {
		return nil, errors.New("a page that doesn't begin at the origin, or is cropped")
	}
	if turn, ok := r.number(inherited["Rotate"]); ok && turn != 0 || node["UserUnit"] != nil {
		return nil, errors.New("a page that is turned or scaled")
	}
	return &page{resources: r.dict(inherited["Resources"]), contents: node["Contents"], height: box[3]}, nil
}

// content gives the streams of a page's or form's content, joined by line ends.
func (r *reader) content(o types.Object) ([]byte, error) {
	v, err := r.resolve(o)
	if err != nil {
		return nil, err
	}
	list, ok := v.(types.Array)
	if !ok {
		list = types.Array{v}
	}
	var all []byte
	for _, e := range list {
		v, err := r.resolve(e)
		if err != nil {
			return nil, err
		}
		s, ok := v.(*types.StreamDict)
		if !ok {
			return nil, errors.New("content that is no stream")
		}
		data, err := r.decoded(s)
		if err != nil {
			return nil, err
		}
		if all == nil && len(list) == 1 {
			return data, nil
		}
		all = append(append(all, data...), '\n')
	}
	return all, nil
}
