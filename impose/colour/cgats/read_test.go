package cgats_test

import (
	"bytes"
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"quoin/impose/colour/cgats"
	"quoin/impose/colour/cielab"
)

// whole is a file in which nothing is wrong; the cases damage it.
const whole = `ISO28178
ORIGINATOR "a house of our own"
MEASUREMENT_SOURCE "M1, D50, 2 degree"
KEYWORD "METRE"
NUMBER_OF_FIELDS 6
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B METRE
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
1 "Cyan 50 %" 75.1 -17.2 -25.0 12.5
2 paper 95 0 -2 12.5
END_DATA
`

func read(text string) ([]cgats.Sample, error) {
	tables, err := cgats.Parse("m.txt", strings.NewReader(text))
	if err != nil {
		return nil, err
	}
	var all []cgats.Sample
	for _, t := range tables {
		s, err := t.Samples()
		if err != nil {
			return nil, err
		}
		all = append(all, s...)
	}
	return all, nil
}

func swap(old, new string) string { return strings.Replace(whole, old, new, 1) }

// Each damaged file gets the answer that leads to what is wrong.
func TestDamagedFiles(t *testing.T) {
	spectral := func(fields, row string) string {
		return "CTI3\nBEGIN_DATA_FORMAT\nSAMPLE_ID " + fields + "\nEND_DATA_FORMAT\nBEGIN_DATA\n1 " + row + "\nEND_DATA\n"
	}
	for name, c := range map[string]struct{ text, want string }{
		"empty":                    {"\n \n", "m.txt: the file is empty"},
		"UTF-16":                   {"\xff\xfeI\x00", "UTF-16"},
		"spreadsheet":              {"PK\x03\x04...", "spreadsheet"},
		"XML":                      {"<?xml version='1.0'?>", "XML"},
		"binary":                   {"CTI3\x00\x01", "zero bytes"},
		"some other text":          {"hello there\nworld\n", "no BEGIN_DATA"},
		"cut in the rows":          {whole[:strings.Index(whole, "2 paper")], "ends within the rows, after 1"},
		"cut in a row":             {strings.TrimSuffix(whole, " 12.5\nEND_DATA\n"), "m.txt:12: METRE: the row has 5 values for 6"},
		"cut in the fields":        {whole[:strings.Index(whole, "LAB_B")], "ends within the list of fields"},
		"a value too many":         {swap("paper 95", "paper 95 0"), "m.txt:12: the row has 7 values"},
		"a name without quotes":    {swap(`"Cyan 50 %"`, "Cyan 50 %"), "m.txt:11: the row has 8 values"},
		"open quotes":              {swap(`50 %"`, `50 %`), "m.txt:11: quotes are opened"},
		"a row lost":               {swap("2 paper 95 0 -2 12.5\n", ""), "NUMBER_OF_SETS: it says 2, and there are 1"},
		"a field lost":             {swap(" LAB_B METRE", " LAB_B"), "NUMBER_OF_FIELDS: it says 6, and the list has 5"},
		"a field twice":            {swap("LAB_B METRE", "LAB_B LAB_B"), "LAB_B: the list names the field twice"},
		"no number":                {swap("95 0 -2", "95 n/a -2"), `m.txt:12: LAB_A: "n/a" is no number`},
		"not a number":             {swap("95 0 -2", "95 NaN -2"), `m.txt:12: LAB_A: "NaN" is no number`},
		"thousands":                {swap("95 0 -2", "1.095,0 0 -2"), `m.txt:12: LAB_L: "1.095,0" is no number`},
		"no colour at all":         {strings.NewReplacer("LAB_L", "D_C", "LAB_A", "D_M").Replace(whole), "no colour"},
		"no printed colour":        {swap("95 0 -2", "950 0 -2"), "m.txt:12: LAB_L: L* 950.0"},
		"before the run":           {swap("-2 12.5", "-2 -1"), "m.txt:12: METRE: -1 lies before"},
		"two light sources":        {swap("D50", "D65"), "the colours are for D65"},
		"ten degrees":              {swap("D50, 2 degree", "D50, 10 degree"), "10 DEG"},
		"no count":                 {swap("NUMBER_OF_SETS 2", "NUMBER_OF_SETS two"), `NUMBER_OF_SETS: "two" is no count`},
		"no rows":                  {"CTI3\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\nEND_DATA\n", "no rows"},
		"rows without fields":      {"CTI3\nBEGIN_DATA\n1 2\nEND_DATA\n", "without a list of fields"},
		"data within data":         {swap("2 paper", "BEGIN_DATA\n2 paper"), "BEGIN_DATA within the rows"},
		"an end without beginning": {"CTI3\nEND_DATA\n", "END_DATA without its beginning"},
		"uneven bands":             {spectral("NM400 NM410 NM430", "1 1 1"), "NM430: the band at 430 nm follows that at 410"},
		"a scale nobody uses":      {spectral("NM400 NM420 NM440", "2 2 2"), "neither factors of 0 to 1 nor percent"},
		"half a spectrum":          {spectral("NM400 NM420 NM440", "20 20 20"), "too short"},
		"two colours in a row":     {spectral("LAB_L LAB_A LAB_B XYZ_X XYZ_Y XYZ_Z", "95 0 -2 0.8448 0.8762 0.7457"), "XYZ_X: it says L*"},
		"ink beyond full":          {spectral("LAB_L LAB_A LAB_B CMYK_C CMYK_M CMYK_Y CMYK_K", "95 0 -2 0 0 0 255"), "CMYK_K: 255 %"},
		"no time":                  {strings.NewReplacer("METRE", "TIME", "-2 12.5", "-2 noon").Replace(whole), `m.txt:11: TIME: "12.5" is no time`},
		"a header of no metre":     {"METRE far\n" + spectral("LAB_L LAB_A LAB_B", "95 0 -2"), `m.txt:1: METRE: "far" is no number`},
	} {
		_, err := read(c.text)
		var fault *cgats.Error
		if !errors.As(err, &fault) || !strings.Contains(err.Error(), c.want) || fault.Hint() == "" {
			t.Errorf("%s: got %v; want %q and a way out", name, err, c.want)
		}
	}
}

// What differs from writer to writer reads the same.
func TestOddFilesReadAlike(t *testing.T) {
	want, err := read(whole)
	if err != nil || len(want) != 2 || want[0].Lab.A != -17.2 || want[0].Name != "Cyan 50 %" || *want[1].Metre != 12.5 {
		t.Fatalf("%+v, %v", want, err)
	}
	tabs := strings.NewReplacer(`1 "Cyan 50 %" 75.1 -17.2 -25.0 12.5`, "1\tCyan 50 %\t75.1\t-17.2\t-25.0\t12.5").Replace(whole)
	for name, text := range map[string]string{
		"CR ends":                strings.ReplaceAll(whole, "\n", "\r"),
		"CRLF ends":              strings.ReplaceAll(whole, "\n", "\r\n"),
		"a byte order mark":      "\ufeff" + whole,
		"decimal commas":         strings.NewReplacer("75.1 -17.2 -25.0 12.5", "75,1 -17,2 -25,0 12,5").Replace(whole),
		"no counts":              strings.NewReplacer("NUMBER_OF_SETS 2\n", "", "NUMBER_OF_FIELDS 6\n", "").Replace(whole),
		"fields over lines":      swap("LAB_L LAB_A", "\nLAB_L\n\n LAB_A"),
		"fields in small":        swap("LAB_L LAB_A", "lab_l lab_a"),
		"comments":               swap("BEGIN_DATA\n1", "BEGIN_DATA # rows\n# the first\n1"),
		"tabs and no quotes":     tabs,
		"metre for the table":    strings.NewReplacer(" METRE\n", "\n", "NUMBER_OF_FIELDS 6", "METRE 12.5", " 12.5\n", "\n").Replace(whole),
		"blank lines, no kind":   strings.TrimPrefix(strings.ReplaceAll(whole, "\n", "\n\n"), "ISO28178"),
		"the last line unclosed": strings.TrimSuffix(whole, "\n"),
	} {
		got, err := read(text)
		if err != nil || len(got) != 2 || got[0].Lab != want[0].Lab || got[0].Name != want[0].Name || *got[1].Metre != 12.5 {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
}

// Reflectance as factors, as percent, and under all names is one spectrum.
func TestSpectraOfAllForms(t *testing.T) {
	for _, prefix := range []string{"SPECTRAL_NM", "SPECTRAL_NM_", "SPECTRAL_", "SPEC_", "nm"} {
		for _, value := range []string{"0.5", "50"} {
			fields, row := "SAMPLE_ID", "1"
			for nm := 380; nm <= 730; nm += 10 {
				fields += " " + prefix + string(rune('0'+nm/100)) + string(rune('0'+nm/10%10)) + "0"
				row += " " + value
			}
			got, err := read("X\nBEGIN_DATA_FORMAT\n" + fields + "\nEND_DATA_FORMAT\nBEGIN_DATA\n" + row + "\nEND_DATA\n")
			if err != nil {
				t.Fatalf("%s, %s: %v", prefix, value, err)
			}
			// Y 50 is L* 76.0693 (116 cbrt(0.5) - 16).
			if l := got[0].Lab; math.Abs(l.L-76.0693) > 1e-4 || l.Chroma() > 1e-9 {
				t.Errorf("%s, %s: %v", prefix, value, l)
			}
		}
	}
}

// Debian's icc-profiles-free carries published characterisation tables.
func TestPublishedTables(t *testing.T) {
	files := 0
	for _, name := range []string{"FOGRA28L", "FOGRA29L", "FOGRA30L", "FOGRA39L", "FOGRA40L", "TR002", "TR003", "TR005", "TR006"} {
		path := "/usr/share/color/icc/" + name + ".ti3"
		if _, err := os.Stat(path); err != nil {
			continue
		}
		files++
		tables, err := cgats.Read(path)
		if err != nil || len(tables) != 1 {
			t.Fatalf("%s: %v", name, err)
		}
		s, err := tables[0].Samples()
		if err != nil || len(s) < 900 || s[0].CMYK == nil || s[0].Lab.L < 50 {
			t.Errorf("%s: %d samples, %v", name, len(s), err)
		}
	}
	if files == 0 {
		if os.Getenv("CI") == "true" {
			t.Fatal("no table found: apt-get install icc-profiles-free")
		}
		t.Skip("Debian's icc-profiles-free is not installed")
	}
}

// What is written reads back as it was.
func TestWrittenReadsBack(t *testing.T) {
	table := &cgats.Table{Form: "ISO28178", Headers: []cgats.Keyword{{Name: "DESCRIPTOR", Value: `a "quoted" word`}},
		Fields: []string{"SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B", cgats.FieldAcross, cgats.FieldAround},
		Rows:   []cgats.Row{{Values: []string{"1", cgats.Quote(`Blue "deep" 50 %`), "20", "10", "-30", "4.5", "100"}}}}
	var b bytes.Buffer
	if err := table.Write(&b); err != nil {
		t.Fatal(err)
	}
	tables, err := cgats.Parse("w.txt", &b)
	if err != nil || tables[0].Header("DESCRIPTOR") != `a "quoted" word` {
		t.Fatalf("%v, %v", tables, err)
	}
	s, err := tables[0].Samples()
	if err != nil || s[0].Name != `Blue "deep" 50 %` || s[0].Lab != (cielab.Lab{L: 20, A: 10, B: -30}) || *s[0].Place != [2]float64{4.5, 100} {
		t.Fatalf("%+v, %v", s, err)
	}
}

// Whatever the bytes, there is an answer and no panic; what reads has finite
// colours.
func FuzzParse(f *testing.F) {
	f.Add([]byte(whole))
	f.Add([]byte(strings.ReplaceAll(whole, " ", "\t")))
	f.Add([]byte("X\nBEGIN_DATA_FORMAT NM400\nNM420 END_DATA_FORMAT\nBEGIN_DATA\n1\nEND_DATA"))
	f.Fuzz(func(t *testing.T, data []byte) {
		samples, err := read(string(data))
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		for _, s := range samples {
			if !s.Lab.Valid() {
				t.Fatalf("%v", s.Lab)
			}
		}
	})
}
