package pdfobj

import "errors"

var (
	// ErrNotPDF means that no PDF object could be found in the input.
	ErrNotPDF = errors.New("not a PDF file")
	// ErrPassword means that the file opens only with a password that was
	// not given.
	ErrPassword = errors.New("the file is encrypted and needs a password")
	// ErrNotPermitted means that the file opens, but its permission bits
	// forbid both changing it and assembling it into another document.
	ErrNotPermitted = errors.New("the file's permissions forbid changing and assembling it")
	// ErrEncryption means that the file is encrypted in a way that is not
	// supported, such as with a public key.
	ErrEncryption = errors.New("unsupported encryption")
	// ErrBudget means that a limit of [Options] was reached.
	ErrBudget = errors.New("the file exceeds a reading limit")
	// ErrImageFilter means that a stream is compressed by an image codec,
	// which is never undone here.
	ErrImageFilter = errors.New("stream is compressed by an image codec")
	// ErrType means that an object is not of the kind asked for.
	ErrType = errors.New("unexpected object type")
	// ErrNoPage means that the document has no page of that number.
	ErrNoPage = errors.New("no such page")
)
