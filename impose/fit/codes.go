package fit

import (
	"quoin/geometry"
	"quoin/impose/say"
)

// codeNoDie says that nothing in the library suits.
const codeNoDie = "no-die"

// CodeHouse says what the question took from a house file.
const CodeHouse = "house-file"

// Codes is what the manual says of the reasons and warnings of package
// geometry, which knows no other of our packages, and of this one.
var Codes = say.Codes{Title: "why a layout or a die doesn't fit, or what to look at where it does", List: []say.Meaning{
	{Code: CodeHouse, Text: "what was taken from a house file"},
	{Code: geometry.CodeTooWide, Text: "the lanes are wider than the band"},
	{Code: geometry.CodeTooLong, Text: "the rows are longer than the frame"},
	{Code: geometry.CodeTooMany, Text: "a frame would hold too many stations"},
	{Code: geometry.CodeTooLarge, Text: "a length is beyond what is planned"},
	{Code: geometry.CodeLanesDiffer, Text: "the lanes' labels can't share a row"},
	{Code: geometry.CodeNoBand, Text: "edges and target lanes leave nothing of the web"},
	{Code: geometry.CodeWeb, Text: "the web is impossible"},
	{Code: geometry.CodeRepeat, Text: "the frame has no length"},
	{Code: geometry.CodeCount, Text: "a number of lanes or rows is impossible"},
	{Code: geometry.CodeEdge, Text: "the edge matrix is impossible"},
	{Code: geometry.CodeQuantity, Text: "the quantity is impossible"},
	{Code: geometry.CodeLabelSize, Text: "the label has no area"},
	{Code: geometry.CodeLabelArea, Text: "the label's area is impossible"},
	{Code: geometry.CodeNegativeGap, Text: "a gap is negative"},
	{Code: geometry.CodeNegativeBleed, Text: "the bleed is negative"},
	{Code: geometry.CodeBleedClipped, Text: "the gaps leave less bleed than was asked for"},
	{Code: geometry.CodeNarrowerWeb, Text: "a narrower web would do"},
	{Code: geometry.CodeLanesUnused, Text: "some of the die's lanes find no room, and are not used"},
	{Code: geometry.CodeRowsUnused, Text: "some rows are left out, because the frame or the station's stroke is too short for them"},
	{Code: geometry.CodeEdgeMatrix, Text: "the matrix at the edge of the web is too narrow"},
	{Code: geometry.CodeRotaryMultiple, Text: "the frame is no whole number of the die's repeats"},
	{Code: geometry.CodeRun, Text: "the run can't be worked out"},
	{Code: geometry.CodeSize, Text: "the die is of another size"},
	{Code: geometry.CodeOutline, Text: "the die's outline is not the label's"},
	{Code: geometry.CodeRadius, Text: "the corner radius is another or impossible"},
	{Code: geometry.CodeShape, Text: "the die is of another shape"},
	{Code: geometry.CodeTurn, Text: "the winding doesn't allow the turn that the die needs"},
	{Code: geometry.CodeGapAcross, Text: "the gap between lanes is too narrow to strip the matrix, or to strip it well"},
	{Code: geometry.CodeGapAround, Text: "the gap between rows is too narrow to strip the matrix, or to strip it well"},
	{Code: geometry.CodeMaterial, Text: "the die is made for another material"},
	{Code: geometry.CodeCondition, Text: "the die is worn, to be sharpened or retired"},
	{Code: geometry.CodeDieLineDiffers, Text: "the artwork's die line is not what the die cuts"},
	{Code: geometry.CodeDieLength, Text: "a length in the die's record is impossible"},
	{Code: geometry.CodeDieSize, Text: "the record's label has no area"},
	{Code: geometry.CodeDieArea, Text: "the record's area is impossible"},
	{Code: geometry.CodeDieCircle, Text: "the record's circle is none"},
	{Code: geometry.CodeDieCount, Text: "the record's lanes and rows are no grid"},
	{Code: geometry.CodeDieGap, Text: "the record's gap disagrees with its repeat"},
	{Code: geometry.CodeDieGear, Text: "the record's gear is impossible"},
	{Code: geometry.CodeDieRepeat, Text: "the record's rows are longer than its repeat"},
	{Code: geometry.CodeDieStation, Text: "the record's kind of station is not known"},
	{Code: geometry.CodeStationKind, Text: "there is no station of the kind that the die needs"},
	{Code: geometry.CodeStationWidth, Text: "the die is wider than the station"},
	{Code: geometry.CodeStationStroke, Text: "the die is longer than the station's stroke"},
	{Code: geometry.CodeStationGear, Text: "the die runs on another gear than the station"},
	{Code: codeNoDie, Text: "no die of the library suits"},
}}
