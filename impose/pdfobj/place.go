package pdfobj

// Place returns how many bytes of the content have been gone through: the operation
// that Next moved to ends there. It is not known where the scanner has looked ahead.
func (c *ContentScanner) Place() (at int64, known bool) {
	return c.p.lexer.offset(), len(c.p.ahead) == 0
}
