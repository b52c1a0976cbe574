package serve

import (
	"context"
	"errors"
	"io/fs"
	"net/http"

	"quoin/impose/desk/folder"
	"quoin/impose/say"
)

// The kinds of refusals that only the desk knows.
const (
	badRequest   say.Kind = "request"
	notFound     say.Kind = "not-found"
	outside      say.Kind = "outside"
	notPermitted say.Kind = "not-permitted"
	tooLarge     say.Kind = "too-large"
	tooMany      say.Kind = "too-many"
	notPDF       say.Kind = "not-pdf"
	changed      say.Kind = "changed"
	nothing      say.Kind = "nothing"
	refused      say.Kind = "refused"
	running      say.Kind = "running"
	busy         say.Kind = "busy"
	stopped      say.Kind = "stopped"
)

// Codes is what the manual says of them.
var Codes = say.Codes{Title: "why the desk doesn't do what it is asked", List: []say.Meaning{
	{Code: string(badRequest), Text: "the request can't be understood"},
	{Code: string(notFound), Text: "what it asks for is not there"},
	{Code: string(outside), Text: "a path leads out of the folder"},
	{Code: string(notPermitted), Text: "the desk's user may not open the file"},
	{Code: string(tooLarge), Text: "it sends too many bytes at once"},
	{Code: string(tooMany), Text: "it sends too many files at once"},
	{Code: string(notPDF), Text: "a file that it sends is neither a PDF nor a table"},
	{Code: string(changed), Text: "somebody else has changed the file meanwhile"},
	{Code: string(nothing), Text: "there is nothing to undo"},
	{Code: string(refused), Text: "the job has no frame, or its records a fault"},
	{Code: string(running), Text: "the same is being done already"},
	{Code: string(busy), Text: "enough work is under way, or too many pages are open"},
	{Code: string(stopped), Text: "it was broken off"},
}}

// refusal is one with the status of its answer.
type refusal struct {
	*say.Refusal
	status int
}

// refuse returns a refusal with a text made like fmt.Sprintf makes it.
func refuse(status int, kind say.Kind, format string, args ...any) error {
	return &refusal{say.Refuse(kind, "", format, args...), status}
}

func bad(format string, args ...any) error {
	return refuse(http.StatusBadRequest, badRequest, format, args...)
}

// refusalOf returns an error as the refusal that answers it.
func refusalOf(err error) *refusal {
	answer := func(status int, kind say.Kind) *refusal {
		return &refusal{&say.Refusal{Kind: kind, Err: err}, status}
	}
	if r, ok := errors.AsType[*refusal](err); ok {
		return answer(r.status, r.Kind)
	}
	if large, ok := errors.AsType[*http.MaxBytesError](err); ok {
		err = say.Refuse(tooLarge, "", "more than %s at once", say.Count(large.Limit, "byte"))
		return answer(http.StatusRequestEntityTooLarge, tooLarge)
	}
	switch {
	case folder.IsOutside(err):
		return answer(http.StatusForbidden, outside)
	case errors.Is(err, fs.ErrNotExist):
		err = errors.New("there is no such file in the folder")
		return answer(http.StatusNotFound, notFound)
	case errors.Is(err, fs.ErrPermission):
		err = errors.New("the file can't be opened by the desk's user")
		return answer(http.StatusForbidden, notPermitted)
	case errors.Is(err, context.Canceled):
		return answer(499, stopped)
	}
	return answer(http.StatusUnprocessableEntity, say.KindOf(err))
}
