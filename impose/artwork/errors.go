package artwork

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"quoin/impose/pdfobj"
	"quoin/impose/say"
)

var (
	// ErrNoPages means that the document has no page.
	ErrNoPages = errors.New("the file has no pages")
	// ErrPageRange means that the document has no page of that number.
	ErrPageRange = errors.New("no page of that number")

	errNotRegular = errors.New("not a regular file")
	errPanic      = errors.New("the reader failed")
)

// Error says which file, or which page of it, can't be used and why.
type Error struct {
	Path string
	Page int // 0 when the whole file is meant
	Err  error
	With string // the path of another artwork, with which this one can't be used; may be empty
}

func (e *Error) Error() string {
	if e.Page > 0 && !errors.Is(e.Err, ErrPageRange) {
		return fmt.Sprintf("%s, page %d: %v", e.Path, e.Page, e.Err)
	}
	return fmt.Sprintf("%s: %v", e.Path, e.Err)
}

func (e *Error) Unwrap() error { return e.Err }

// Hint returns the way out.
func (e *Error) Hint() string {
	if hint := say.Hint(e.Err); hint != "" {
		return hint
	}
	switch {
	case errors.Is(e.Err, fs.ErrNotExist) && (strings.HasPrefix(e.Path, "http:/") || strings.HasPrefix(e.Path, "https:/") || strings.HasPrefix(e.Path, "file:/")):
		return "artwork must be a file, not an address: fetch it first, and name it by its path"
	case errors.Is(e.Err, fs.ErrNotExist) && say.Dangling(e.Path) != "":
		return say.DanglingWay(e.Path)
	case errors.Is(e.Err, fs.ErrNotExist):
		return "check the path and the name of the artwork"
	case errors.Is(e.Err, fs.ErrPermission):
		return "give this user the right to read the file"
	case errors.Is(e.Err, errNotRegular):
		return "artwork must be a file that can be read more than once; save it to disk first"
	case errors.Is(e.Err, pdfobj.ErrNotPDF):
		return "artwork must be PDF; export it again as PDF/X-4"
	case errors.Is(e.Err, pdfobj.ErrPassword):
		return "write its password into a file and say --password-file FILE, or say password: in the job file; or ask for the artwork without one"
	case errors.Is(e.Err, pdfobj.ErrNotPermitted):
		return "its owner forbids placing it: ask for the artwork without restrictions, or, with the owner's leave, say --permitted-by NAME"
	case errors.Is(e.Err, pdfobj.ErrEncryption):
		return "ask for the artwork without encryption"
	case errors.Is(e.Err, pdfobj.ErrBudget):
		return "the file is damaged or built to exhaust a reader; export it again"
	case errors.Is(e.Err, ErrNoPages):
		return "export the artwork again; this file is empty or damaged"
	}
	return "export the artwork again, or look at it with another PDF program"
}

// Refused returns the kind of refusal that it is.
func (e *Error) Refused() say.Kind { return say.Artwork }

// noPage is ErrPageRange with the number of pages.
func noPage(pages int) error {
	way := "use page 1"
	if pages != 1 {
		way = fmt.Sprintf("use a page from 1 to %d", pages)
	}
	return &say.Refusal{Way: way, Err: fmt.Errorf("%w: the file has %s", ErrPageRange, say.Count(pages, "page"))}
}

// CalledBy returns an error about the artwork at a path as one that names it
// otherwise; any other error as it is.
func CalledBy(err error, path, name string) error {
	if bad, ok := errors.AsType[*Error](err); ok && bad.Path == path {
		named := *bad
		named.Path = name
		return &named
	}
	return err
}
