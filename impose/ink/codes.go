package ink

import "quoin/impose/say"

// Codes is what the manual says of the notes about inks.
var Codes = say.Codes{Title: "notes about inks", List: []say.Meaning{
	{Code: NoteDouble, Text: "two names are likely one ink"},
	{Code: NoteAlternates, Text: "an ink looks different in two artworks"},
	{Code: NoteKinds, Text: "an ink is of two kinds in two artworks"},
	{Code: NoteGuessed, Text: "an ink is taken for technical by its name alone"},
	{Code: NoteIdle, Text: "an ink takes a station although nothing prints in it"},
	{Code: NoteUnused, Text: "a rule of the job names an ink that no artwork uses"},
}}
