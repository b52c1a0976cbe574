package again

import "quoin/impose/say"

// The codes of what a new artwork's report says otherwise than the old one's.
const (
	CodeTrim         = "trim"
	CodeBleed        = "bleed"
	CodePages        = "pages"
	CodeInk          = "ink"
	CodeDieLine      = "die-line"
	CodeFont         = "font"
	CodeImage        = "image"
	CodeTransparency = "transparency"
	CodeOverprint    = "overprint"
	CodeIntent       = "output-intent"
)

// Codes is what the manual says of them.
var Codes = say.Codes{Title: "how a new artwork differs from the old one", List: []say.Meaning{
	{Code: CodeTrim, Text: "in the size of its trim box"},
	{Code: CodeBleed, Text: "in its bleed"},
	{Code: CodePages, Text: "in the number of its file's pages"},
	{Code: CodeInk, Text: "in an ink or its kind"},
	{Code: CodeDieLine, Text: "in its die line"},
	{Code: CodeFont, Text: "in a font"},
	{Code: CodeImage, Text: "in its images or their resolution"},
	{Code: CodeTransparency, Text: "in whether it has transparency"},
	{Code: CodeOverprint, Text: "in whether it overprints"},
	{Code: CodeIntent, Text: "in its output intent"},
}}
