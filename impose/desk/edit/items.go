package edit

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"quoin/impose/say"
)

// Append adds an item of keys and values to the end of a list, which is made where
// it is missing.
func Append(text []byte, order []string, key string, item []Edit) ([]byte, error) {
	d, path, found, err := seek(string(text), key)
	if err != nil {
		return nil, err
	}
	if len(found) < len(path) && len(path) > 1 {
		next, err := d.insert(found, path, order, "["+braced(item)+"]")
		return []byte(next), err
	}
	if len(found) == 0 {
		next, err := d.insert(nil, []step{{name: key}}, order, "[]")
		if err != nil {
			return nil, err
		}
		// The place is found; the list goes there as a block.
		return []byte(strings.Replace(next, key+": []\n", key+":\n"+block(item, "  "), 1)), nil
	}
	list := found[len(found)-1].value
	switch {
	case list.Kind != yaml.SequenceNode:
		return nil, say.Refuse(say.BadFile, "write it as a list", "%s in line %d is no list", key, list.Line)
	case list.Style&yaml.FlowStyle != 0:
		end, err := d.end(list, 0)
		if err != nil {
			return nil, err
		}
		one := braced(item)
		before := strings.TrimRight(d.text[:end-1], " ")
		if len(list.Content) > 0 {
			one = ", " + one
		}
		return []byte(before + one + d.text[end-1:]), nil
	}
	end := d.block(list.Line, list.Column-1, true)
	margin, lines := strings.Repeat(" ", list.Column-1), ""
	if n := len(list.Content); n > 0 && list.Content[n-1].Style&yaml.FlowStyle != 0 { // as the others are
		lines = margin + "- " + braced(item) + "\n"
	} else {
		lines = block(item, margin)
	}
	next := joinLines(d.text[:end], lines)
	return []byte(next + strings.TrimPrefix(strings.TrimPrefix(d.text[end:], "\r"), "\n")), nil
}

// braced writes an item in one line.
func braced(item []Edit) string {
	var parts []string
	for _, e := range item {
		parts = append(parts, e.Key+": "+e.Value)
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// block writes an item of a list, its dash behind the margin.
func block(item []Edit, margin string) string {
	var b strings.Builder
	for i, e := range item {
		dash := "- "
		if i > 0 {
			dash = "  "
		}
		b.WriteString(margin + dash + e.Key + ": " + e.Value + "\n")
	}
	return b.String()
}

// onlyChanged refuses a new text that says anything else than the old one beside
// a key: what an edit may never do, whatever the file looks like.
func onlyChanged(old, now, key string) error {
	a, err := leaves(old)
	if err != nil {
		return err
	}
	b, err := leaves(now)
	if err != nil {
		return say.Refuse(say.BadFile, "change it in an editor", "the change of %s would break the file", key)
	}
	within := func(k string) bool {
		return k == key || strings.HasPrefix(k, key+".") || strings.HasPrefix(k, key+"[") || strings.HasPrefix(key, k+".") || strings.HasPrefix(key, k+"[")
	}
	if strings.HasSuffix(key, "]") { // the items behind move up
		list := key[:strings.LastIndexByte(key, '[')]
		within = func(k string) bool { return strings.HasPrefix(k, list) }
	}
	for k, v := range a {
		if w, ok := b[k]; !within(k) && (!ok || w != v) {
			return say.Refuse(say.BadFile, "change it in an editor", "the change of %s would change %s too", key, k)
		}
	}
	for k := range b {
		if _, ok := a[k]; !within(k) && !ok {
			return say.Refuse(say.BadFile, "change it in an editor", "the change of %s would add %s too", key, k)
		}
	}
	return nil
}

// leaves gives every value of a text by its key.
func leaves(text string) (map[string]string, error) {
	d, err := parse(text)
	if err != nil {
		return nil, err
	}
	all := map[string]string{}
	var walk func(n *yaml.Node, key string)
	walk = func(n *yaml.Node, key string) {
		switch n.Kind {
		case yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				walk(n.Content[i+1], strings.TrimPrefix(key+"."+n.Content[i].Value, "."))
			}
		case yaml.SequenceNode:
			for i, c := range n.Content {
				walk(c, key+"["+strconv.Itoa(i)+"]")
			}
		default:
			all[key] = n.Tag + " " + n.Value
		}
	}
	if d.root != nil {
		walk(d.root, "")
	}
	return all, nil
}
