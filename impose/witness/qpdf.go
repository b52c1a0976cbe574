package witness

import (
	"encoding/json"
	"strings"
	"testing"
)

// QPDFCheck fails the test with all that qpdf says when the file has an error
// or a warning: what reaches a press must have neither.
func QPDFCheck(t testing.TB, path string) {
	t.Helper()
	if r := try(t, "qpdf", "--check", path); r.exit != 0 {
		t.Errorf("qpdf --check %s ended with exit code %d:\n%s%s", path, r.exit, r.stdout, r.stderr)
	}
}

// QPDF is a PDF as qpdf reads it. Values are those of qpdf's JSON, version 2:
// names keep their slash ("/Page"), text strings begin with "u:" and byte
// strings with "b:", references read "7 0 R", numbers are float64.
type QPDF struct {
	t       testing.TB
	path    string
	objects map[string]entry
}

type entry struct {
	Value  any
	Stream *struct{ Dict map[string]any }
}

// QPDFJSON reads the structure of a PDF with qpdf, streams without their data.
func QPDFJSON(t testing.TB, path string) *QPDF {
	t.Helper()
	out := run(t, "qpdf", "--json=2", "--json-key=qpdf", "--json-stream-data=none", "--warning-exit-0", path).stdout
	var doc struct{ QPDF []json.RawMessage }
	q := &QPDF{t: t, path: path}
	err := json.Unmarshal(out, &doc)
	if err == nil && len(doc.QPDF) == 2 {
		err = json.Unmarshal(doc.QPDF[1], &q.objects)
	}
	if err != nil || q.objects == nil {
		t.Fatalf("qpdf --json=2 %s: not the JSON we know: %v", path, err)
	}
	return q
}

// Object returns an indirect object by its reference, such as "7 0 R"; of a
// stream, its dictionary. An object that isn't there is nil, as PDF has it.
func (q *QPDF) Object(ref string) any {
	e := q.objects["obj:"+ref]
	if e.Stream != nil {
		return e.Stream.Dict
	}
	return e.Value
}

// Get walks from the trailer along dictionary keys (strings, without slash)
// and array indices (ints), following references on the way:
// Get("Root", "Pages", "Kids", 0, "MediaBox"). What isn't there is nil.
func (q *QPDF) Get(steps ...any) any {
	q.t.Helper()
	return q.From(q.objects["trailer"].Value, steps...)
}

// From is Get from any value that Get or Object returned.
func (q *QPDF) From(value any, steps ...any) any {
	q.t.Helper()
	value = q.resolve(value)
	for _, step := range steps {
		switch s := step.(type) {
		case string:
			dict, _ := value.(map[string]any)
			value = dict["/"+s]
		case int:
			array, _ := value.([]any)
			if s < 0 || s >= len(array) {
				return nil
			}
			value = array[s]
		default:
			q.t.Fatalf("witness: a step is a key or an index, not %T", step)
		}
		value = q.resolve(value)
	}
	return value
}

// Data returns the data of a stream by its reference, decoded as far as qpdf
// can without losing anything.
func (q *QPDF) Data(ref string) []byte {
	q.t.Helper()
	return q.show(ref, "--filtered-stream-data")
}

// Raw returns the data of a stream by its reference as it stands in the file.
func (q *QPDF) Raw(ref string) []byte {
	q.t.Helper()
	return q.show(ref, "--raw-stream-data")
}

func (q *QPDF) show(ref, how string) []byte {
	q.t.Helper()
	number, _, _ := strings.Cut(ref, " ")
	return run(q.t, "qpdf", "--warning-exit-0", "--show-object="+number, how, q.path).stdout
}

func (q *QPDF) resolve(value any) any {
	// A chain of references is legal; a ring is not, and must not hang.
	for range len(q.objects) {
		ref, ok := value.(string)
		if !ok || !isRef(ref) {
			return value
		}
		value = q.Object(ref)
	}
	return value
}

func isRef(s string) bool {
	number, rest, ok := strings.Cut(s, " ")
	generation, r, ok2 := strings.Cut(rest, " ")
	return ok && ok2 && r == "R" && digits(number) && digits(generation)
}

func digits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}
