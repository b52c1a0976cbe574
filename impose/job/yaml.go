package job

import (
	"errors"
	"io"
	"strings"

	"go.yaml.in/yaml/v4"
)

// root parses the file and gives its one document; false when it has none that
// can be read, which is then on the list of faults.
func (r *reader) root() (value, bool) {
	if !r.readable() {
		return value{}, false
	}
	node, ok := r.yaml()
	if !ok {
		return value{}, false
	}
	v := value{reader: r}.inner("", node)
	return v, v.usable()
}

// yaml parses the file.
func (r *reader) yaml() (*yaml.Node, bool) {
	loader, err := yaml.NewLoader(strings.NewReader(r.text))
	if err != nil {
		panic(err) // only wrong options do that, and there are none
	}
	var doc, second yaml.Node
	err = loader.Load(&doc)
	if err == io.EOF || err == nil && doc.Content[0].Tag == "!!null" {
		r.fault(place{1, 1}, "", "the file is empty", "the folder samples holds files to start from")
		return nil, false
	}
	if err == nil {
		if err = loader.Load(&second); err == nil {
			at := place{second.Content[0].Line, second.Content[0].Column}
			r.fault(at, "", "a second document begins here", "keep one in a file, without lines of ---")
			return nil, false
		}
	}
	if err != io.EOF {
		r.syntax(err)
		return nil, false
	}
	return doc.Content[0], true
}

// syntax explains why the file is no YAML.
func (r *reader) syntax(err error) {
	at, text := place{1, 1}, err.Error()
	if e, ok := errors.AsType[*yaml.LoadError](err); ok {
		at, text = place{max(1, e.Mark.Line), max(1, e.Mark.Column)}, e.Message
		if e.ContextMsg != "" {
			text = e.ContextMsg + ": " + text
		}
	}
	r.fault(at, "", "is not YAML: "+text,
		"indent with spaces, put a space behind each colon, and quote texts that hold ': ' or ' #'")
}
