package gs1

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

//go:embed identifiers.txt
var identifiers string

// rule is a line of the table.
type rule struct {
	title    string
	parts    []part
	needs    [][]string // each demand is a list of alternatives, as "01+21"
	excludes []string
	key      bool // a primary key of a Digital Link
	paths    [][]string
	fixed    bool
	query    bool
}

// part is a piece of a value with a length and checks of its own.
type part struct {
	set         byte // N, X, Y or Z
	least, most int
	optional    bool
	checks      []check
}

// table reads the table when it is first asked for: programs that print no GS1
// data do without it.
var table = sync.OnceValue(func() map[string]*rule {
	rules := map[string]*rule{}
	for _, line := range strings.Split(identifiers, "\n") {
		if line == "" || line[0] == '#' {
			continue
		}
		r, names := readRule(strings.Split(line, "\t"))
		for _, ai := range names {
			rules[ai] = r
		}
	}
	return rules
})

// readRule reads the columns of a line. The table is part of the program, so
// that a fault in it is a fault of the program.
func readRule(column []string) (r *rule, names []string) {
	list := func(text, sep string) []string {
		if text == "-" {
			return nil
		}
		return strings.Split(text, sep)
	}
	r = &rule{title: column[1], excludes: list(column[4], ",")}
	for _, text := range strings.Fields(column[2]) {
		r.parts = append(r.parts, readPart(text))
	}
	for _, demand := range list(column[3], " ") {
		r.needs = append(r.needs, strings.Split(demand, ","))
	}
	key, qualifiers, _ := strings.Cut(column[5], ":")
	r.key = key == "key"
	if qualifiers != "" {
		for _, path := range strings.Split(qualifiers, "|") {
			r.paths = append(r.paths, strings.Split(path, ","))
		}
	}
	r.fixed, r.query = strings.Contains(column[6], "fixed"), strings.Contains(column[6], "query")
	first, last, isRange := strings.Cut(column[0], "-")
	if !isRange {
		return r, []string{first}
	}
	from, to := number(first), number(last)
	for n := from; n <= to; n++ {
		names = append(names, fmt.Sprintf("%0*d", len(first), n))
	}
	return r, names
}

// readPart reads a piece like N14,csum or [X..17].
func readPart(text string) part {
	var p part
	if strings.HasPrefix(text, "[") {
		p.optional = true
		text = strings.Replace(text[1:], "]", "", 1)
	}
	words := strings.Split(text, ",")
	p.set = words[0][0]
	if least, most, varies := strings.Cut(words[0][1:], ".."); varies {
		p.least, p.most = 1, number(most)
	} else {
		p.least = number(least)
		p.most = p.least
	}
	for _, word := range words[1:] {
		c, ok := checks[word]
		if !ok {
			panic("gs1: identifiers.txt names the check " + word)
		}
		if c != nil {
			p.checks = append(p.checks, c)
		}
	}
	return p
}

func number(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		panic("gs1: identifiers.txt holds " + text)
	}
	return n
}

// matches reports whether an identifier is meant by a pattern of the table, in
// which n stands for any digit.
func matches(pattern, ai string) bool {
	if len(pattern) != len(ai) {
		return false
	}
	for i := range len(ai) {
		if pattern[i] != 'n' && pattern[i] != ai[i] {
			return false
		}
	}
	return true
}
