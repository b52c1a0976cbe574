package night

import "quoin/impose/say"

// Codes is what the manual says of a night's notes.
var Codes = say.Codes{Title: "notes about the orders of a night", List: []say.Meaning{
	{Code: BadOrder, Text: "left out: its line in the order file is wrong"},
	{Code: NoSize, Text: "left out: nothing says its label's size"},
	{Code: NoDie, Text: "left out: no die of the library suits"},
	{Code: BadArtwork, Text: "left out: the artwork can't be used"},
	{Code: NotFit, Text: "left out: the label fits no frame"},
	{Code: BadWinding, Text: "left out: the turn that its winding needs is not known"},
	{Code: BadInks, Text: "left out: the press can't print so many inks"},
	{Code: TooShort, Text: "left out: its overs don't reach the least run"},
	{Code: TooLarge, Text: "left out: it is beyond any run"},
	{Code: NoPlan, Text: "left out: the rules leave no run for it"},
	{Code: NoWeb, Text: "left out: the web in stock is not enough"},
	{Code: RunFailed, Text: "left out: its run could not be written"},
	{Code: DrugLabel, Text: "runs alone, as a drug label"},
	{Code: RunsAlone, Text: "runs alone, as the customer wishes"},
	{Code: NotYet, Text: "waits for a later night"},
	{Code: HeldBack, Text: "is held back for a later night, as was asked for"},
	{Code: Printed, Text: "is printed already, by an earlier plan"},
	{Code: TakenOut, Text: "is not printed, as was asked for"},
	{Code: PinOpen, Text: "is printed without an order that it was to be together with"},
	{Code: Late, Text: "was due before the night"},
	{Code: NoInks, Text: "its inks are not known"},
	{Code: TurnOpen, Text: "more orders might share a run if all labels stood alike"},
	{Code: NoOrders, Text: "the file lists no order"},
	{Code: LongWeb, Text: "takes more web than anybody orders"},
	{Code: LastFrame, Text: "goes beyond its limit, as frames are printed whole"},
	{Code: PartRolls, Text: "lanes end inside a roll"},
	{Code: NoPrice, Text: "by money, and what it takes has no price"},
	{Code: NoArtwork, Text: "is planned, but its artwork is not there to build it with"},
	{Code: LaterFault, Text: "waits for a later night, and can't be taken then as it stands"},
	{Code: NewTools, Text: "labels for which no new tool was looked for"},
	{Code: NotTried, Text: "there is too much of it to be tried in every way"},
	{Code: OrderFile, Text: "the order file holds something odd that costs no order"},
}}
