package main

import (
	"quoin/impose"
	"quoin/impose/again"
	"quoin/impose/alike"
	"quoin/impose/artwork"
	"quoin/impose/conform"
	"quoin/impose/desk/serve"
	"quoin/impose/fit"
	"quoin/impose/ink"
	"quoin/impose/mark"
	"quoin/impose/night"
	"quoin/impose/say"
	"quoin/impose/vary"
	"quoin/impose/verify"
	"quoin/impose/verify/labels"
)

// codes returns every code that JSON may hold, by what it is said of.
func codes() []say.Codes {
	return []say.Codes{
		impose.Codes, alike.Codes, ink.Codes, mark.Codes, vary.Codes, artwork.Codes, fit.Codes, night.Codes, verify.Codes, labels.Codes, conform.Codes(), again.Codes, say.Kinds, serve.Codes,
	}
}
