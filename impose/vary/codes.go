package vary

import (
	"quoin/impose/barcode"
	"quoin/impose/say"
)

// Codes is what the manual says of the warnings about variable data.
var Codes = say.Codes{Title: "warnings about variable data", List: []say.Meaning{
	{Code: CodeSpare, Text: "stations of the last frame have no record"},
	{Code: CodeContrast, Text: "a barcode is little darker than what is beneath it"},
	{Code: CodeFixed, Text: "a field is the same on every label"},
	{Code: barcode.CodeLarge, Text: "a barcode's module is larger than the table allows"},
	{Code: barcode.CodeLow, Text: "a barcode's bars are lower than the table asks"},
	{Code: barcode.CodeLadder, Text: "a barcode's bars run across the web"},
}}
