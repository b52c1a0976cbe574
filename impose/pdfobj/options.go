package pdfobj

import "context"

// Limits bound what reading may cost and hold the password. The zero value
// reads any honest file; every zero field takes the default named there.
type Limits struct {
	// Password opens an encrypted file as its user or its owner. Empty, the
	// usual case, opens files that only restrict what one may do.
	Password string
	// Permitted takes a file whose permission bits forbid placing it: somebody
	// who may has given leave.
	Permitted bool
	// Context ends the reading early. Nil never does.
	Context context.Context
	// MaxObjects bounds the entries of the cross-reference table.
	// Default: 8,388,607, the largest object number (Annex C).
	MaxObjects int
	// MaxDepth bounds how deeply direct objects, pages and the stages of a
	// stream's filter may be nested. Default: 256.
	MaxDepth int
	// MaxDecoded bounds the decoded bytes of any one stream. Default: 1 GiB.
	MaxDecoded int64
	// MaxPages bounds the pages of the page tree. Default: 1,000,000.
	MaxPages int
}

func (o Limits) withDefaults() Limits {
	if o.Context == nil {
		o.Context = context.Background()
	}
	if o.MaxObjects <= 0 {
		o.MaxObjects = maxObjectNumber
	}
	if o.MaxDepth <= 0 {
		o.MaxDepth = 256
	}
	if o.MaxDecoded <= 0 {
		o.MaxDecoded = 1 << 30
	}
	if o.MaxPages <= 0 {
		o.MaxPages = 1_000_000
	}
	return o
}

// maxObjectStream bounds a decoded object stream or cross-reference stream,
// which are held in memory.
const maxObjectStream = 64 << 20
