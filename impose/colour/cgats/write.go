package cgats

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
)

// standard are fields that the form knows; others are declared with KEYWORD.
var standard = []string{"SAMPLE_ID", "SAMPLE_NAME", "CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K", "LAB_L", "LAB_A", "LAB_B",
	"XYZ_X", "XYZ_Y", "XYZ_Z"}

// Write writes the table. Text is quoted, numbers are not.
func (t *Table) Write(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "%s\n\n", t.Form)
	for _, k := range t.Headers {
		fmt.Fprintf(b, "%s %s\n", k.Name, Quote(k.Value))
	}
	for _, f := range t.Fields {
		if !slices.Contains(standard, f) && !band().MatchString(f) {
			fmt.Fprintf(b, "KEYWORD %s\n", Quote(f))
		}
	}
	fmt.Fprintf(b, "\nNUMBER_OF_FIELDS %d\nBEGIN_DATA_FORMAT\n%s\nEND_DATA_FORMAT\n\nNUMBER_OF_SETS %d\nBEGIN_DATA\n",
		len(t.Fields), strings.Join(t.Fields, " "), len(t.Rows))
	for _, r := range t.Rows {
		b.WriteString(strings.Join(r.Values, "\t") + "\n")
	}
	b.WriteString("END_DATA\n")
	return b.Flush()
}

// Quote makes a text one value of the form.
func Quote(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' {
			return ' '
		}
		return r
	}, s)
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}
