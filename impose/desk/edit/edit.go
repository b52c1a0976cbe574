package edit

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"

	"quoin/impose/say"
)

// Edit is one change of a file. An empty value takes the key away.
type Edit struct {
	Key   string `json:"key"`   // as roll.core or artworks[0].quantity
	Value string `json:"value"` // as the file would say it: 3x3.175mm, or [1, 2]
}

// Apply carries out edits in turn and gives the new text. Order lists the names
// of the outermost keys in the order in which new ones are to stand. The error is
// a refusal, and then nothing is changed.
func Apply(text []byte, order []string, edits ...Edit) ([]byte, error) {
	now := string(text)
	for _, e := range edits {
		next, err := apply(now, order, e)
		if err != nil {
			return nil, err
		}
		if err := onlyChanged(now, next, e.Key); err != nil {
			return nil, err
		}
		now = next
	}
	return []byte(now), nil
}

func apply(text string, order []string, e Edit) (string, error) {
	d, list, found, err := seek(text, e.Key)
	switch {
	case err != nil:
		return "", err
	case strings.ContainsAny(e.Value, "\r\n"):
		return "", say.Refuse(say.Usage, "write it in one line", "the value of %s has several lines", e.Key)
	case len(found) == len(list) && e.Value == "":
		return d.remove(found)
	case e.Value == "":
		return text, nil
	case len(found) == len(list):
		return d.replace(found[len(found)-1], e.Value)
	}
	return d.insert(found, list, order, e.Value)
}

// replace puts a value in another's place, with what stood behind it.
func (d *document) replace(e entry, value string) (string, error) {
	from := d.offset(e.value)
	end, err := d.end(e.value, d.indent(e))
	if err != nil {
		return "", err
	}
	if e.value.Kind == yaml.ScalarNode && e.value.Tag == "!!null" && e.value.Value == "" {
		from = d.offset(e.key) + len(e.key.Value) + 1
		return d.text[:from] + " " + value + d.text[from:], nil
	}
	if e.key != nil && e.value.Line > e.key.Line { // a block beneath its key
		from = d.offset(e.key)
		from += strings.IndexByte(d.text[from:], ':') + 1
		value = " " + value
	}
	return d.text[:from] + value + d.text[end:], nil
}

// remove takes the last of the entries away, and what holds it with it when
// nothing else is in there.
func (d *document) remove(found []entry) (string, error) {
	e := found[len(found)-1]
	per := 2
	if e.key == nil {
		per = 1
	}
	if len(e.in.Content) == per && len(found) > 1 {
		return d.remove(found[:len(found)-1])
	}
	end, err := d.end(e.value, d.indent(e))
	if err != nil {
		return "", err
	}
	first := e.key
	if first == nil {
		first = e.value
	}
	from := d.offset(first)
	if e.in.Style&yaml.FlowStyle != 0 {
		return d.removeFlow(from, end), nil
	}
	line := d.lineOf(from)
	if e.key != nil && len(e.in.Content) > 2 && strings.Contains(d.text[d.lines[line-1]:from], "-") { // the first key of an item
		next := d.offset(e.in.Content[2])
		return d.text[:from] + d.text[next:], nil
	}
	last := d.lineOf(max(end-1, from))
	stop := len(d.text)
	if last < len(d.lines) {
		stop = d.lines[last]
	}
	return d.text[:d.lines[line-1]] + d.text[stop:], nil
}

// removeFlow takes an entry out of brackets, with its comma.
func (d *document) removeFlow(from, end int) string {
	rest := d.text[end:]
	if bare := strings.TrimLeft(rest, " "); strings.HasPrefix(bare, ",") {
		return d.text[:from] + strings.TrimLeft(bare[1:], " ")
	}
	before := strings.TrimRight(d.text[:from], " \n")
	return strings.TrimSuffix(before, ",") + rest
}

// insert adds a key that the file lacks, and whatever should hold it.
func (d *document) insert(found []entry, list []step, order []string, value string) (string, error) {
	missing := list[len(found):]
	for _, s := range missing[1:] {
		if s.name == "" {
			return "", say.Refuse(say.Usage, "add the item first", "the file has no such item")
		}
	}
	if missing[0].name == "" {
		return "", say.Refuse(say.Usage, "add the item first", "the file has no item %d", missing[0].index+1)
	}
	in := d.root
	if len(found) > 0 {
		in = found[len(found)-1].value
	}
	switch {
	case in == nil: // nothing but comments
		return joinLines(d.text, nested(missing, value, 0)), nil
	case in.Kind == yaml.ScalarNode: // a switch, as in "targets: true"
		return d.replace(found[len(found)-1], flow(missing, value))
	case in.Kind != yaml.MappingNode:
		return "", say.Refuse(say.BadFile, "change it in an editor", "line %d is a list", in.Line)
	case in.Style&yaml.FlowStyle != 0:
		end, err := d.end(in, 0)
		if err != nil {
			return "", err
		}
		inner := strings.TrimSuffix(strings.TrimPrefix(flow(missing, value), "{"), "}")
		before := strings.TrimRight(d.text[:end-1], " ")
		if !strings.HasSuffix(before, "{") {
			inner = ", " + inner
		}
		return before + inner + d.text[end-1:], nil
	}
	indent := in.Column - 1
	after := len(in.Content) - 2
	if in == d.root {
		after = behind(in, missing[0].name, order)
	}
	if after < 0 { // before the first
		at := d.lines[in.Content[0].Line-1]
		return d.text[:at] + nested(missing, value, indent) + d.text[at:], nil
	}
	end, err := d.end(in.Content[after+1], indent)
	if err != nil {
		return "", err
	}
	line := d.lineOf(max(end-1, d.offset(in.Content[after])))
	at := d.lineEnd(line)
	return joinLines(d.text[:at], nested(missing, value, indent)) + strings.TrimPrefix(strings.TrimPrefix(d.text[at:], "\r"), "\n"), nil
}

// joinLines puts lines behind a text, on lines of their own.
func joinLines(text, lines string) string {
	if text != "" && !strings.HasSuffix(text, "\n") {
		text += "\n"
	}
	return text + lines
}

// behind returns the key of a mapping behind which a new one is to stand.
func behind(m *yaml.Node, name string, order []string) int {
	rank := slices.Index(order, name)
	if rank < 0 {
		return len(m.Content) - 2
	}
	best, after := -1, -2
	for i := 0; i+1 < len(m.Content); i += 2 {
		if r := slices.Index(order, m.Content[i].Value); r >= 0 && r < rank && r > best {
			best, after = r, i
		}
	}
	return after
}

// nested writes keys within each other as a block.
func nested(list []step, value string, indent int) string {
	var b strings.Builder
	for i, s := range list {
		b.WriteString(strings.Repeat(" ", indent+2*i) + s.name + ":")
		if i == len(list)-1 {
			b.WriteString(" " + value)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// flow writes keys within each other in braces.
func flow(list []step, value string) string {
	if len(list) == 0 {
		return value
	}
	return "{" + list[0].name + ": " + flow(list[1:], value) + "}"
}

var plain = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[\pL\pN][\pL\pN ._/%+()-]*$`) })

// Text writes any text as a value: as it is where YAML reads it so, else in
// quotes.
func Text(s string) string {
	var n yaml.Node
	if plain().MatchString(s) && strings.TrimSpace(s) == s && yaml.Unmarshal([]byte("k: "+s+"\n"), &n) == nil &&
		n.Content[0].Content[1].Value == s {
		switch n.Content[0].Content[1].Tag {
		case "!!bool", "!!null":
		default:
			return s
		}
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	return b.String() + `"`
}
