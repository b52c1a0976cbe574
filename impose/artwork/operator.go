package artwork

import (
	"slices"

	"quoin/impose/pdfobj"
)

// intents are the rendering intents (Table 70).
var intents = []pdfobj.Name{"AbsoluteColorimetric", "RelativeColorimetric", "Saturation", "Perceptual"}

// checkOperator looks at the operators that decide nothing about inks, and
// notes those that no reader knows (Annex A). Between BX and EX a reader skips
// them by order; elsewhere they are a sign of damage.
func (p *painter) checkOperator(op string, args []pdfobj.Object) {
	switch op {
	case "BX":
		p.forgiving++
	case "EX":
		p.forgiving = max(0, p.forgiving-1)
	case "ri":
		if n := pdfobj.NameAt(last(args, 1), 0); !slices.Contains(intents, n) {
			p.found.add(RenderingUnknown, objectName(p.in), "the rendering intent %q is not known; a RIP takes its own", NameText(string(n)))
		}
	case "J", "j", "M", "d", "i", "MP", "DP", "d0":
	default:
		if p.forgiving == 0 {
			p.found.add(OperatorUnknown, objectName(p.in), "the content has the operator %q, which no PDF reader knows: it is skipped, and may be a sign of damage", shortened(op))
		}
	}
}

// shortened keeps an operator's name printable.
func shortened(op string) string {
	if len(op) > 16 {
		op = op[:16] + "..."
	}
	return NameText(op)
}
