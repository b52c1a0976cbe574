package report

import (
	"html/template"
	"regexp"
	"sync"
)

// unbroken is what a line must not end within: a flag, a day, a run's name.
var unbroken = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`\B--?[a-z][a-z-]*|\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b|\brun-[0-9]+\b`)
})

// words escapes a text for the page and keeps together what must not be broken at its
// hyphens.
func words(text string) template.HTML {
	return template.HTML(unbroken().ReplaceAllString(template.HTMLEscapeString(text), `<span class="d">$0</span>`))
}
