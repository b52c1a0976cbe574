package impose

import "quoin/impose/say"

// Codes is what the manual says of a summary's own warnings and notes.
var Codes = say.Codes{Title: "warnings and notes of a job", List: []say.Meaning{
	{Code: "bleed-clipped", Text: "the gaps leave less bleed than was asked for"},
	{Code: "trim-missing", Text: "an artwork has no TrimBox; the label is taken from the middle of its page"},
	{Code: "tiling-shared", Text: "all stations share an artwork's tiling patterns"},
	{Code: "drug-label", Text: "the job is a drug label"},
	{Code: "mixed-lane", Text: "several products share a lane"},
	{Code: "lane-widths", Text: "lanes differ in width: where the slitter's knives stand"},
	{Code: "nested", Text: "rows are nested"},
	{Code: "slitting", Text: "nested lanes can't be parted by a straight slit"},
	{Code: "die-line-holes", Text: "the die line has contours inside it"},
	{Code: "circle", Text: "a label called a circle is none"},
	{Code: "radius", Text: "the corner radius is impossible"},
	{Code: "count", Text: "the die's lanes and rows are not those of the job"},
	{Code: "rolls", Text: "finished rolls can't be counted"},
	{Code: "roll-diameter", Text: "a roll's diameter can't be said, or is too large"},
	{Code: "eye-ink", Text: "the eye mark's ink does not print in this job"},
	{Code: "flexo-walk", Text: "print and flexo plate drift apart"},
	{Code: "intents-differ", Text: "artworks are made for different printing conditions"},
	{Code: "intent-overruled", Text: "the job says another printing condition than an artwork"},
	{Code: "underprint-joins", Text: "the underprint shares a plate with the artworks' own white"},
	{Code: "underprint-preview", Text: "a viewer shows the white right only with its overprint preview on"},
	{Code: "underprint-outline", Text: "the white is not choked along the labels' outlines"},
	{Code: "records-differ", Text: "there are more or fewer records than ordered labels"},
	{Code: "counter-stands", Text: "a counter has a step of 0, which counts as 1"},
	{Code: "fields-left-out", Text: "the frame is written without the job's fields"},
}}
