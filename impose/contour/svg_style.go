package contour

import (
	"slices"
	"strconv"
	"strings"
)

// rule is a rule of a style sheet: one plain selector and what it sets.
type rule struct {
	tag, id, class string
	sets           map[string]string
}

// looks are the properties that decide whether something is shown.
var looks = []string{"display", "visibility", "opacity", "fill", "stroke"}

// parseRules reads a style sheet: rules whose selectors are an element's name, a
// class and an id at most, which is what drawing programs write. Others are left
// out, and so are at-rules.
func parseRules(text string) (list []rule) {
	for {
		from := strings.Index(text, "/*")
		if from < 0 {
			break
		}
		to := strings.Index(text[from:], "*/")
		if to < 0 {
			text = text[:from]
			break
		}
		text = text[:from] + text[from+to+2:]
	}
	for {
		selectors, rest, found := strings.Cut(text, "{")
		if !found {
			return list
		}
		body, after, _ := strings.Cut(rest, "}")
		text = after
		sets := declarations(body)
		for s := range strings.SplitSeq(selectors, ",") {
			if r, ok := selector(strings.TrimSpace(s)); ok && len(sets) > 0 {
				r.sets = sets
				list = append(list, r)
			}
		}
	}
}

func selector(s string) (r rule, ok bool) {
	if s == "" || strings.ContainsAny(s, " >+~:[@") {
		return r, false
	}
	for s != "" {
		end := strings.IndexAny(s[1:], ".#") + 1
		if end == 0 {
			end = len(s)
		}
		switch s[0] {
		case '.':
			r.class = s[1:end]
		case '#':
			r.id = s[1:end]
		default:
			r.tag = s[:end]
		}
		s = s[end:]
	}
	return r, true
}

// declarations reads "display:none; fill:none".
func declarations(text string) map[string]string {
	sets := map[string]string{}
	for d := range strings.SplitSeq(text, ";") {
		if name, value, ok := strings.Cut(d, ":"); ok && slices.Contains(looks, strings.ToLower(strings.TrimSpace(name))) {
			value = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(value), "!important"))
			sets[strings.ToLower(strings.TrimSpace(name))] = value
		}
	}
	return sets
}

func (r *rule) weight() int {
	n := 0
	if r.id != "" {
		n += 100
	}
	if r.class != "" {
		n += 10
	}
	if r.tag != "" && r.tag != "*" {
		n++
	}
	return n
}

func (r *rule) means(n *node) bool {
	return (r.tag == "" || r.tag == "*" || r.tag == n.name) && (r.id == "" || r.id == n.a["id"]) &&
		(r.class == "" || slices.Contains(strings.Fields(n.a["class"]), r.class))
}

// look returns what is set on an element: by attributes, then by the style sheet,
// then by its own style.
func (x *svg) look(n *node) map[string]string {
	sets := map[string]string{}
	take := func(from map[string]string) {
		for _, name := range looks {
			if v := from[name]; v != "" {
				sets[name] = v
			}
		}
	}
	take(n.a)
	weight := map[string]int{}
	for i := range x.rules {
		r := &x.rules[i]
		if !r.means(n) {
			continue
		}
		for name, v := range r.sets {
			if r.weight() >= weight[name] {
				sets[name], weight[name] = v, r.weight()
			}
		}
	}
	take(declarations(n.a["style"]))
	return sets
}

// styled returns the scope of an element as its style has it.
func (x *svg) styled(n *node, s scope) scope {
	if n.name == "svg" && s.depth == 0 {
		s.fill = true // black, unless it is said otherwise
	}
	if n.label != "" && n.name == "g" {
		s.layer = n.label
	}
	look := x.look(n)
	in := ""
	if s.layer != "" {
		in = " on layer " + clip(s.layer)
	}
	if look["display"] == "none" && s.unseen == (thing{}) {
		s.unseen = part("hidden ", in)
	}
	if o, err := strconv.ParseFloat(look["opacity"], 64); err == nil && o <= 0 && s.unseen == (thing{}) {
		s.unseen = part("transparent ", in)
	}
	switch look["visibility"] {
	case "hidden", "collapse":
		s.hidden = true
	case "visible":
		s.hidden = false
	}
	if v := look["fill"]; v != "" && v != "inherit" {
		s.fill = v != "none"
	}
	if v := look["stroke"]; v != "" && v != "inherit" {
		s.stroke = v != "none"
	}
	return s
}

// notShown returns what kind of part a shape isn't shown as; none where it is.
func (s *scope) notShown() thing {
	switch {
	case s.unseen != (thing{}):
		return s.unseen
	case s.hidden:
		return part("invisible ", "")
	case !s.fill && !s.stroke:
		return part("", " without fill and stroke")
	}
	return thing{}
}
