package impose

import (
	"quoin/geometry"
	"quoin/impose/say"
)

// The codes of what an imposition itself has to say.
const (
	codeTrimMissing       = "trim-missing"
	codeTilingShared      = "tiling-shared"
	codeDrugLabel         = "drug-label"
	codeMixedLane         = "mixed-lane"
	codeLaneWidths        = "lane-widths"
	codeNested            = "nested"
	codeSlitting          = "slitting"
	codeDieLineHoles      = "die-line-holes"
	codeCircle            = "circle"
	codeRolls             = "rolls"
	codeRollDiameter      = "roll-diameter"
	codeEyeInk            = "eye-ink"
	codeFlexoWalk         = "flexo-walk"
	codeIntentsDiffer     = "intents-differ"
	codeIntentOverruled   = "intent-overruled"
	codeUnderprintJoins   = "underprint-joins"
	codeUnderprintPreview = "underprint-preview"
	codeUnderprintOutline = "underprint-outline"
	codeRecordsDiffer     = "records-differ"
	codeCounterStands     = "counter-stands"
	codeFieldsLeftOut     = "fields-left-out"
	codeTurnedLabels      = "turned-labels"
	codeSeam              = "seam"
	codeShapeOfDie        = "shape-of-die"
	codeOwnCut            = "own-cut"
	codePageUnused        = "page-unused"
	codePermitted         = "permitted"
	codeTrappingDiffers   = "trapping-differs"
	codeRipBudget         = "rip-budget"
	codeRollsNotFull      = "rolls-not-full"
	codeWearOut           = "wear-out"
	codeOvers             = "overs"
	codeTargetsOnWhite    = "targets-on-white"
	codeOutlineTaken      = "outline-taken"
	codeOutlineLeft       = "outline-left"
	codeShapeOfArtwork    = "shape-of-artwork"
	codeDieLineIgnored    = "die-line-ignored"
)

// Codes is what the manual says of them.
var Codes = say.Codes{Title: "warnings and notes of a job", List: []say.Meaning{
	{Code: geometry.CodeBleedClipped, Text: "the gaps leave less bleed than was asked for"},
	{Code: codeTrimMissing, Text: "an artwork has no TrimBox; the label is taken from the middle of its page"},
	{Code: codeTilingShared, Text: "all stations share an artwork's tiling patterns"},
	{Code: codeDrugLabel, Text: "the job is a drug label"},
	{Code: codeMixedLane, Text: "several products share a lane"},
	{Code: codeLaneWidths, Text: "lanes differ in width: where the slitter's knives stand"},
	{Code: codeNested, Text: "rows are nested"},
	{Code: codeSlitting, Text: "nested lanes can't be parted by a straight slit"},
	{Code: codeDieLineHoles, Text: "the die line has contours inside it"},
	{Code: codeCircle, Text: "a label called a circle is none"},
	{Code: geometry.CodeRadius, Text: "the corner radius is impossible"},
	{Code: geometry.CodeCount, Text: "the die's lanes and rows are not those of the job"},
	{Code: codeRolls, Text: "finished rolls can't be counted"},
	{Code: codeRollDiameter, Text: "a roll's diameter can't be said, or is too large"},
	{Code: codeEyeInk, Text: "the eye mark's ink does not print in this job"},
	{Code: codeFlexoWalk, Text: "print and flexo plate drift apart"},
	{Code: codeIntentsDiffer, Text: "artworks are made for different printing conditions"},
	{Code: codeIntentOverruled, Text: "the job says another printing condition than an artwork"},
	{Code: codeUnderprintJoins, Text: "the underprint shares a plate with the artworks' own white"},
	{Code: codeUnderprintPreview, Text: "a viewer shows the white right only with its overprint preview on"},
	{Code: codeUnderprintOutline, Text: "the white is not choked along the labels' outlines"},
	{Code: codeRecordsDiffer, Text: "there are more or fewer records than ordered labels"},
	{Code: codeCounterStands, Text: "a counter has a step of 0, which counts as 1"},
	{Code: codeFieldsLeftOut, Text: "the frame is written without the job's fields"},
	{Code: codeTurnedLabels, Text: "nested labels stand upside down against others"},
	{Code: codeSeam, Text: "how many nested labels stand across the seam of two frames"},
	{Code: codeShapeOfDie, Text: "the job says no shape, and takes that of its die"},
	{Code: codeOwnCut, Text: "an artwork draws the cut itself, which isn't drawn a second time"},
	{Code: codePageUnused, Text: "pages of an artwork's file stand on no lane"},
	{Code: codePermitted, Text: "an artwork is placed with leave against its file's permissions"},
	{Code: codeTrappingDiffers, Text: "one artwork says that it is trapped, another that it is not"},
	{Code: codeRipBudget, Text: "the file holds the artworks' content again and again"},
	{Code: codeRollsNotFull, Text: "fewer finished rolls are full than the order has"},
	{Code: codeWearOut, Text: "a part that wears is used up within the run"},
	{Code: codeOvers, Text: "more than 20 % of an order is made beyond it"},
	{Code: codeTargetsOnWhite, Text: "colour targets stand on white"},
	{Code: codeOutlineTaken, Text: "what a drawing gave as the cut: layers, contours, box, area, least radii, closed gaps"},
	{Code: codeOutlineLeft, Text: "what of a drawing was not taken as the cut"},
	{Code: codeShapeOfArtwork, Text: "the job says no shape, and takes that of an artwork's die line"},
	{Code: codeDieLineIgnored, Text: "what is cut is not what an artwork's die line draws, as the job wants it"},
}}
