package barcode

import "quoin/impose/gs1"

// Measure returns how large the symbol of a value will be, with all the faults that Encode would find, in a fraction of its time: values can be
// checked before the first of them is printed.
func (e *Encoder) Measure(data string) (size Extent, err error) {
	if size, err = e.measure(data); err != nil {
		return Extent{}, e.refuse(data, err)
	}
	return size, nil
}

// MeasureElements is Measure for what EncodeElements makes.
func (e *Encoder) MeasureElements(list []gs1.Element) (size Extent, err error) {
	e.given = list
	defer func() { e.given = nil }()
	return e.Measure(gs1.Text(list))
}

func (e *Encoder) measure(data string) (Extent, error) {
	switch {
	case e.kind.digits() > 0, e.kind == Code39, e.kind == DataBarExpanded, e.kind == PDF417, e.kind == Aztec:
		if err := e.encode(data); err != nil {
			return Extent{}, err
		}
		across, down := e.symbol.Modules()
		return Extent{across, down}, nil
	}
	if err := e.elements(data); err != nil {
		return Extent{}, err
	}
	switch e.kind {
	case Code128, GS1128:
		err := e.plan128(e.elems, e.kind == GS1128)
		// Start to check character have eleven modules, stop has thirteen.
		return Extent{11*(len(e.code128.words)+1) + 13, 0}, err
	case QR, GS1QR:
		version, err := e.qrVersion(e.elems, qrHeadOf(e.elems, e.kind == GS1QR))
		return Extent{4*version + 17, 4*version + 17}, err
	}
	index, err := e.planMatrix(e.elems, e.kind == GS1DataMatrix)
	if err != nil {
		return Extent{}, err
	}
	return Extent{matrixSizes[index].cols, matrixSizes[index].rows}, nil
}

// GrowTo makes later QR Codes and Data Matrices at least so large.
func (e *Encoder) GrowTo(size Extent) {
	e.options.Least = max(e.options.Least, size.Across)
	e.least = e.kind.Larger(e.least, size)
}
