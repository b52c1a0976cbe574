package barcode

import "quoin/impose/gs1"

// Measure gives how many modules long the symbol of a value will be, with all
// the faults that Encode would find, in a fraction of its time: values can be
// checked before the first of them is printed.
func (e *Encoder) Measure(data string) (modules int, err error) {
	if modules, err = e.measure(data); err != nil {
		return 0, e.refuse(data, err)
	}
	return modules, nil
}

// MeasureElements is Measure for what EncodeElements makes.
func (e *Encoder) MeasureElements(list []gs1.Element) (modules int, err error) {
	e.given = list
	defer func() { e.given = nil }()
	return e.Measure(gs1.Text(list))
}

func (e *Encoder) measure(data string) (int, error) {
	if e.kind.digits() > 0 {
		err := e.encode(data)
		n, _ := e.symbol.Modules()
		return n, err
	}
	if err := e.elements(data); err != nil {
		return 0, err
	}
	switch e.kind {
	case Code128, GS1128:
		err := e.plan128(e.elems, e.kind == GS1128)
		// Start to check character have eleven modules, stop has thirteen.
		return 11*(len(e.code128.words)+1) + 13, err
	case QR, GS1QR:
		version, err := e.qrVersion(e.elems, qrHeadOf(e.elems, e.kind == GS1QR))
		return 4*version + 17, err
	}
	index, err := e.planMatrix(e.elems, e.kind == GS1DataMatrix)
	if err != nil {
		return 0, err
	}
	return matrixSizes[index].side, nil
}

// GrowTo makes later matrix symbols at least so many modules long.
func (e *Encoder) GrowTo(modules int) { e.options.Least = max(e.options.Least, modules) }
