package profile

import (
	"encoding/binary"

	"quoin/impose/colour/cielab"
)

// read takes a table of one of the three forms.
func (p *Profile) read(b []byte, space string) error {
	if space != "Lab" && space != "XYZ" {
		return errorf("the profile connects by %q, not by CIELAB or XYZ", space)
	}
	kind := string(b[:4])
	var err error
	switch kind {
	case "mft1", "mft2":
		err = p.readOld(b, kind == "mft2")
	case "mAB ":
		err = p.readNew(b)
	default:
		return errorf("a table of the form %q can't be evaluated", kind)
	}
	// 16 bit tables of the older form hold 100 as FF00h, not FFFFh.
	top := 1.0
	if kind == "mft2" {
		top = 65535.0 / 65280
	}
	p.decode = func(v []float64) cielab.Lab {
		return cielab.Lab{L: v[0] * top * 100, A: v[1]*top*255 - 128, B: v[2]*top*255 - 128}
	}
	if space == "XYZ" {
		p.decode = func(v []float64) cielab.Lab {
			const most = 100 * 65535.0 / 32768
			return cielab.XYZ{X: v[0] * most, Y: v[1] * most, Z: v[2] * most}.Lab()
		}
	}
	return err
}

var errCut = errorf("the profile's table is cut off")

// readOld takes lut8Type and lut16Type (ICC.1:2022, 10.10 and 10.11). Their
// matrix only counts where the input is XYZ, which no device is.
func (p *Profile) readOld(b []byte, wide bool) error {
	if len(b) < 52 {
		return errCut
	}
	in, out, grid := int(b[8]), int(b[9]), int(b[10])
	if in != p.Channels || out != 3 || grid < 2 {
		return errorf("the profile's table has %d inputs, %d outputs and %d steps", in, out, grid)
	}
	r := &reader{b: b[48:], bytes: 1}
	entriesIn, entriesOut := 256, 256
	if wide {
		entriesIn, entriesOut = int(binary.BigEndian.Uint16(b[48:])), int(binary.BigEndian.Uint16(b[50:]))
		r = &reader{b: b[52:], bytes: 2}
	}
	if entriesIn < 2 || entriesOut < 2 {
		return errorf("the profile's curves have less than two points")
	}
	before := curves{}
	for range in {
		before = append(before, sampled(r.take(entriesIn)))
	}
	steps := make([]int, in)
	for i := range steps {
		steps[i] = grid
	}
	c, err := r.cube(steps)
	if err != nil {
		return err
	}
	after := curves{}
	for range out {
		after = append(after, sampled(r.take(entriesOut)))
	}
	if r.short {
		return errCut
	}
	p.stages = []stage{before, c, after}
	return nil
}

// readNew takes lutAToBType (ICC.1:2022, 10.12): A curves, table, M curves,
// matrix, B curves, in this order, all but the last optional.
func (p *Profile) readNew(b []byte) error {
	if len(b) < 32 {
		return errCut
	}
	if int(b[8]) != p.Channels || b[9] != 3 {
		return errorf("the profile's table has %d inputs and %d outputs", b[8], b[9])
	}
	at := func(i int) []byte {
		from := binary.BigEndian.Uint32(b[12+4*i:])
		if from == 0 || uint64(from) >= uint64(len(b)) {
			return nil
		}
		return b[from:]
	}
	bCurves, matrix, mCurves, cube, aCurves := at(0), at(1), at(2), at(3), at(4)
	if aCurves != nil {
		c, err := readCurves(aCurves, p.Channels)
		if err != nil {
			return err
		}
		p.stages = append(p.stages, c)
	}
	if cube == nil && p.Channels != 3 {
		return errorf("the profile's table has no grid")
	}
	if cube != nil {
		if len(cube) < 20 {
			return errCut
		}
		steps := make([]int, p.Channels)
		for i := range steps {
			if steps[i] = int(cube[i]); steps[i] < 2 {
				return errorf("the profile's table has %d steps", steps[i])
			}
		}
		r := &reader{b: cube[20:], bytes: int(cube[16])}
		if r.bytes != 1 && r.bytes != 2 {
			return errorf("the profile's table has values of %d bytes", r.bytes)
		}
		c, err := r.cube(steps)
		if err != nil {
			return err
		}
		p.stages = append(p.stages, c)
	}
	if mCurves != nil && matrix != nil {
		c, err := readCurves(mCurves, 3)
		if err != nil {
			return err
		}
		if len(matrix) < 48 {
			return errCut
		}
		var m affine
		for i := range m {
			m[i] = fixed(matrix[4*i:])
		}
		p.stages = append(p.stages, c, m)
	}
	c, err := readCurves(bCurves, 3)
	if err != nil {
		return err
	}
	p.stages = append(p.stages, c)
	return nil
}

// reader takes whole numbers as parts of their range.
type reader struct {
	b     []byte
	bytes int
	short bool
}

func (r *reader) take(n int) []float64 {
	if n > len(r.b)/r.bytes {
		r.short = true
		return []float64{0, 0}
	}
	out := make([]float64, n)
	for i := range out {
		if r.bytes == 1 {
			out[i] = float64(r.b[i]) / 255
		} else {
			out[i] = float64(binary.BigEndian.Uint16(r.b[2*i:])) / 65535
		}
	}
	r.b = r.b[n*r.bytes:]
	return out
}

// cube takes a grid of three outputs.
func (r *reader) cube(steps []int) (*cube, error) {
	n := 3
	for _, s := range steps {
		if n > len(r.b)/s {
			return nil, errCut
		}
		n *= s
	}
	c := &cube{steps: steps, values: r.take(n)}
	if r.short {
		return nil, errCut
	}
	return c, nil
}
