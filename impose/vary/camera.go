package vary

import (
	"bufio"
	"encoding/csv"
	"errors"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"quoin/impose/register"
	"quoin/impose/say"
)

// exportHead names the columns of an export. An inspection camera reads the
// code, and may put its findings into a column "result" of its own.
var exportHead = []string{"code", "state", "run", "record", "part", "frame", "lane", "row", "roll", "metre", "printed", "reprints", "sha256"}

// Export writes all labels of the register as CSV, or those of one run.
func Export(path, run string, w io.Writer) error {
	return look(path, func(s *shelf) error {
		var only *register.Entry
		if run != "" {
			var err error
			if only, err = s.runCalled(run); err != nil {
				return err
			}
		}
		buffered := bufio.NewWriterSize(w, 1<<16)
		out := csv.NewWriter(buffered)
		if err := out.Write(exportHead); err != nil {
			return err
		}
		err := s.each(only, func(r register.Entry, record int64, values []string) error {
			f, err := s.label(r, record, values)
			if err != nil {
				return err
			}
			printed := ""
			if !f.Printed.IsZero() {
				printed = f.Printed.Format(time.RFC3339)
			}
			return out.Write([]string{
				f.Code, f.State, f.Run, strconv.FormatInt(record, 10), f.File, strconv.FormatInt(f.Frame, 10), strconv.Itoa(f.Lane),
				strconv.Itoa(f.Row), strconv.FormatInt(f.Roll, 10), strconv.FormatFloat(f.Metre, 'f', 3, 64), printed, strconv.Itoa(len(f.Again)), f.Sum,
			})
		})
		out.Flush()
		return errors.Join(err, out.Error(), buffered.Flush())
	})
}

// good are the findings of a camera that ask for no other label.
var good = []string{"ok", "good", "pass", "passed", "read"}

// ReadCodes reads an inspection camera's list of codes that can't be read or are
// missing, and gives the numbers of their records: one code on each line, or a
// CSV file with a column "code", where lines are passed over whose column
// "result" says ok, good, pass, passed or read. A code is a label's code or what
// one of its fields says.
func ReadCodes(list, path, run string) ([]int64, error) {
	wanted, err := codesOf(list)
	if err != nil {
		return nil, err
	}
	var records []int64
	err = look(path, func(s *shelf) error {
		of, err := s.runCalled(run)
		if err != nil {
			return err
		}
		return s.each(of, func(_ register.Entry, record int64, values []string) error {
			hit := false
			for _, text := range codesSay(s.read[of.ID], values) {
				if _, ok := wanted[text]; ok {
					hit = true
					delete(wanted, text)
				}
			}
			if hit {
				records = append(records, record)
			}
			return nil
		})
	})
	if err != nil {
		return nil, err
	}
	first, line := "", 0
	for code, at := range wanted {
		if line == 0 || at < line {
			first, line = code, at
		}
	}
	if line > 0 {
		return nil, say.Refuse(say.BadFile, "let the camera write the codes as quoin register --csv does", "%s: line %d: the register knows no label that says %q", list, line, say.Clip(first, 200))
	}
	return records, nil
}

// codesOf returns the codes of a list with their lines.
func codesOf(list string) (map[string]int, error) {
	f, err := os.Open(list)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text := bufio.NewReader(f)
	in := csv.NewReader(text)
	in.Comma = commaOf(text)
	in.FieldsPerRecord, in.LazyQuotes = -1, true
	code, result := -1, -1
	codes := map[string]int{}
	for n := 0; ; n++ {
		cells, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, say.Refuse(say.BadFile, "write one code on each line, or CSV with a column code", "%s: %s", list, err)
		}
		cells[0] = strings.TrimPrefix(cells[0], "\ufeff")
		if i := column(cells, "code"); n == 0 && i >= 0 {
			code, result = i, column(cells, "result")
			continue
		}
		line, _ := in.FieldPos(0)
		if code < 0 && len(cells) > 1 { // a part of a code may be that of another label
			return nil, say.Refuse(say.BadFile, "let the first line name the columns, the codes' code; or put a code that holds commas in quotes", "%s: line %d has %d cells, and nothing says which is the code", list, line, len(cells))
		}
		if code >= len(cells) {
			return nil, say.Refuse(say.BadFile, "give each line its code", "%s: line %d has no code", list, line)
		}
		if result >= 0 && result < len(cells) && slices.Contains(good, strings.ToLower(strings.TrimSpace(cells[result]))) {
			continue
		}
		codes[cells[max(0, code)]] = line
	}
	if len(codes) == 0 {
		return nil, say.Refuse(say.BadFile, "write one code on each line, or CSV with a column code", "%s: names no codes", list)
	}
	return codes, nil
}

// column finds a column by its name, however a spreadsheet has written it.
func column(cells []string, name string) int {
	return slices.IndexFunc(cells, func(c string) bool { return strings.EqualFold(strings.TrimSpace(c), name) })
}

// commaOf returns what parts the cells of a list whose first line names its columns:
// spreadsheets of many countries write semicolons, or tabs. A plain list of codes
// has commas or nothing.
func commaOf(text *bufio.Reader) rune {
	head, _ := text.Peek(1 << 10)
	line, _, _ := strings.Cut(strings.TrimPrefix(string(head), "\ufeff"), "\n")
	for _, comma := range ";\t" {
		if column(strings.Split(line, string(comma)), "code") >= 0 {
			return comma
		}
	}
	return ','
}
