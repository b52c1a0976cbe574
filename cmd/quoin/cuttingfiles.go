package main

import "github.com/spf13/pflag"

// cuttingFiles ask for the contours of the cut as drawings of their own, for
// the die maker, the laser and the finishing line.
type cuttingFiles struct{ dxf, svg string }

func (f *cuttingFiles) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.dxf, "cutting-dxf", "", "write the contours of the cut as a DXF R12 `file` in mm")
	fs.StringVar(&f.svg, "cutting-svg", "", "write the contours of the cut as an SVG `file` in mm")
}

func (f *cuttingFiles) write(im *imposed) error {
	return writeAsked([]part{{"cut DXF", f.dxf, im.frame.WriteCuttingDXF}, {"cut SVG", f.svg, im.frame.WriteCuttingSVG}}, im.writePart)
}
