package verify

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"quoin/impose/summary/schema"
)

// A summary whose key is missing or called otherwise says less than what was
// planned, and whoever reads it next takes it for nothing: so its whole form is
// checked, not only the keys that are compared with the file.

// form compiles the summary's JSON Schema once.
var form = sync.OnceValues(func() (*jsonschema.Schema, error) {
	const url = "file:///summary.schema.json"
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema.JSON()))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(url, doc); err != nil {
		return nil, err
	}
	return c.Compile(url)
})

// keepsForm returns an error with what of a summary's text its JSON Schema does
// not take: keys that are missing, unknown, or of another type.
func keepsForm(text []byte) error {
	s, err := form()
	if err != nil {
		return fmt.Errorf("the summary's schema: %w", err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return err
	}
	wrong := new(jsonschema.ValidationError)
	if err = s.Validate(doc); !errors.As(err, &wrong) {
		return err
	}
	list := faults(wrong, nil)
	slices.Sort(list)
	return errors.New(strings.Join(list[:min(len(list), maxFaults)], "; "))
}

// maxFaults is how many of a form's faults are said.
const maxFaults = 3

// faults adds what is wrong in the ends of a tree of errors.
func faults(e *jsonschema.ValidationError, list []string) []string {
	for _, cause := range e.Causes {
		list = faults(cause, list)
	}
	if len(e.Causes) == 0 {
		where := "/" + strings.Join(e.InstanceLocation, "/")
		list = append(list, where+": "+e.ErrorKind.LocalizedString(message.NewPrinter(language.English)))
	}
	return list
}
