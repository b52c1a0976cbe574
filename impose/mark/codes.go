package mark

import "quoin/impose/say"

// Codes is what the manual says of the warnings and notes about marks.
var Codes = say.Codes{Title: "warnings about marks", List: []say.Meaning{
	{Code: CodeNoLane, Text: "the job keeps no lane for marks"},
	{Code: CodeRegister, Text: "there is no room for a register mark"},
	{Code: CodeEyeRoom, Text: "there is no room for the eye mark"},
	{Code: CodeEyeTrack, Text: "a label crosses the eye mark's track"},
	{Code: CodeEyeContrast, Text: "the eye mark's ink is light"},
	{Code: CodeSlit, Text: "slit marks have no room"},
	{Code: CodeCentre, Text: "the centre tick has no room"},
	{Code: CodeTrim, Text: "some trim marks have no room"},
	{Code: CodeTargets, Text: "colour targets are left out"},
	{Code: CodeSlug, Text: "the slug line is cut or left out"},
	{Code: CodeGlyph, Text: "the slug line's lettering lacks a character"},
	{Code: CodeLaneNumbers, Text: "lane numbers have no room"},
	{Code: CodeLaneTargets, Text: "patches between lanes have no room"},
}}
