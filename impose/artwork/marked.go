package artwork

import "quoin/impose/pdfobj"

// mark is a marked-content sequence, 14.6.
type mark struct{ hidden, stepped bool }

// marks are the sequences of a content stream that are open.
type marks []mark

// maxMarks bounds open marked-content sequences.
const maxMarks = 4096

// mark opens or closes a sequence. What belongs to optional content names it in
// the scope.
func (m *marks) mark(s *scan, sc *scope, op string, args []pdfobj.Object) {
	switch {
	case op == "EMC":
		if n := len(*m); n > 0 {
			s.leave((*m)[n-1])
			*m = (*m)[:n-1]
		}
	case len(*m) >= maxMarks:
	case op == "BDC" && len(args) >= 2 && pdfobj.NameAt(args, len(args)-2) == "OC":
		group := sc.find(s.doc, "Properties", pdfobj.NameAt(args, len(args)-1))
		*m = append(*m, s.enter(group))
	default:
		*m = append(*m, mark{})
	}
}
