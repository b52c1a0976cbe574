package job

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"quoin/geometry"
	"quoin/impose/say"
)

// house reads house files that differ by the folder they stand in.
func house(t *testing.T, path, text string) *House {
	t.Helper()
	h, err := ParseHouseBy(path, []byte(text), func(string, int64) ([]byte, error) { return []byte(smallPress), nil })
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// flags finds flags by their names.
func flagsSaid(t *testing.T, pairs ...string) (said []Said) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		for _, table := range [][]Flag{LayoutFlags, BlockFlags, OrderFlags, TermFlags, RollFlags, MarkFlags, PlateFlags} {
			for k := range table {
				if table[k].Name == pairs[i] {
					said = append(said, Said{&table[k], pairs[i+1]})
				}
			}
		}
	}
	if 2*len(said) != len(pairs) {
		t.Fatalf("not all of %q are flags", pairs)
	}
	return said
}

// taken lists what a job took, as "path key=value".
func taken(j *Job) string {
	var list []string
	for _, t := range j.Took {
		for _, k := range t.Keys {
			list = append(list, t.Path+" "+k.Key+"="+k.Value)
		}
	}
	return strings.Join(list, "; ")
}

// TestWhoWins lays a flag over a job file over a house file beside it over the
// user's own.
func TestWhoWins(t *testing.T) {
	far := house(t, "far/house.yaml", "web: 250mm\nedge: 6mm\ngap: 2x2mm\nmarks: {slit: false, register: {size: 7mm}, eye: {size: 2x4mm, ink: Cyan}}\nmaterial: {kind: paper, caliper: 90um}")
	near := house(t, "near/house.yaml", "web: 330mm\nframe-max: 700mm\nmarks: {trim: true}\nmaterial: {kind: film}\ninks: {aliases: {A: B, C: D}, silence: [Red, Blue]}\novers: 3%")
	for _, c := range []struct {
		name, job string
		flags     []string
		check     func(*Job) bool
		took      string
	}{
		{"the nearer house", "artworks: []\n", nil, func(j *Job) bool {
			return j.WebWidth == 330*mm && j.Repeat == Repeat{Longest: 700 * mm} && *j.Edge == 6*mm && !j.Marks.Slit && j.Marks.Trim && j.Marks.Register.Size == 7*mm && j.Material == (Material{Kind: "film"})
		}, "near/house.yaml web=330mm; near/house.yaml frame-max=700mm; near/house.yaml marks.trim=true; near/house.yaml material.kind=film; near/house.yaml inks.aliases.A=B; " +
			"near/house.yaml inks.aliases.C=D; near/house.yaml inks.silence=Red, Blue; near/house.yaml overs=3%; far/house.yaml edge=6mm; far/house.yaml gap=2x2mm; " +
			"far/house.yaml marks.slit=false; far/house.yaml marks.register.size=7mm; far/house.yaml marks.eye.size=2x4mm; far/house.yaml marks.eye.ink=Cyan"},
		{"the job", "web: 200mm\nrepeat: 300mm\nmarks: {slit: true, eye: true, register: false}\nmaterial: {name: x}\ninks: {aliases: {A: Z}, silence: [Green]}\n", nil, func(j *Job) bool {
			return j.WebWidth == 200*mm && j.Repeat == Repeat{Fixed: 300 * mm} && j.Marks.Slit && !j.Marks.Register.On && j.Marks.Eye.Ink == "Cyan" &&
				j.Material == (Material{Name: "x"}) && cmp.Equal(j.Inks.Aliases, []Alias{{"C", "D"}, {"A", "Z"}}) && cmp.Equal(j.Inks.Silence, []string{"Green"})
		}, "near/house.yaml marks.trim=true; near/house.yaml inks.aliases.C=D; near/house.yaml overs=3%; far/house.yaml edge=6mm; far/house.yaml gap=2x2mm; " +
			"far/house.yaml marks.eye.size=2x4mm; far/house.yaml marks.eye.ink=Cyan"},
		{"another press", "press: p.yaml\n", nil, func(j *Job) bool { return j.Edge == nil && j.WebWidth == 330*mm }, ""},
		{"a flag", "web: 200mm\n", []string{"web", "320mm", "repeat", "500mm", "material", "board", "eye", "3x3mm", "no-slug", "false", "overs", "0%"}, func(j *Job) bool {
			return j.WebWidth == 320*mm && j.Repeat == Repeat{Fixed: 500 * mm} && j.Material == (Material{Kind: "board"}) && j.Marks.Eye.Ink == "Cyan" && j.Marks.Eye.Size.Across == 3*mm
		}, "near/house.yaml marks.trim=true; near/house.yaml inks.aliases.A=B; near/house.yaml inks.aliases.C=D; near/house.yaml inks.silence=Red, Blue; far/house.yaml edge=6mm; " +
			"far/house.yaml gap=2x2mm; far/house.yaml marks.slit=false; far/house.yaml marks.register.size=7mm; far/house.yaml marks.eye.ink=Cyan"},
		{"switches", "", []string{"no-marks", "true", "no-targets", "true"}, func(j *Job) bool { return !j.Marks.Register.On && j.Marks.Eye == nil && j.Marks.Trim && !j.Targets.On }, ""},
	} {
		said := flagsSaid(t, c.flags...)
		read := func(h Houses, said []Said) *Job {
			j, err := h.parse("job/job.yaml", []byte("name: n\n"+c.job), said, func(string, int64) ([]byte, error) { return []byte(smallPress), nil })
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			if err := j.Override(said); err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			return j
		}
		j := read(Houses{near, far}, said)
		if !c.check(j) {
			t.Errorf("%s: %+v", c.name, j)
		}
		if got := taken(j); c.took != "" && got != c.took {
			t.Errorf("%s: took\n%s, want\n%s", c.name, got, c.took)
		}
		if j := read(nil, said); len(j.Took) > 0 {
			t.Errorf("%s: took %+v of no house", c.name, j.Took)
		}
	}
}

// TestHouseFaultsHavePlaces: a value that doesn't suit is faulted in the file that
// says it.
func TestHouseFaultsHavePlaces(t *testing.T) {
	h := house(t, "shop/house.yaml", "press: p.yaml\nweb: 990mm\n")
	j, err := Houses{h}.ParseJob("job/job.yaml", []byte("label: 50x75mm\nartworks: [{file: a.pdf}]\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.Validate(); err == nil || !strings.HasPrefix(err.Error(), "shop/house.yaml:2:6: web: 990 mm is wider") {
		t.Error(err)
	}
}

// TestFindHouses looks beside the job and in the user's folder, and takes neither
// twice nor a file of colours.
func TestFindHouses(t *testing.T) {
	dir, home := t.TempDir(), t.TempDir()
	for _, name := range []string{"XDG_CONFIG_HOME", "HOME", "AppData"} { // of each system
		t.Setenv(name, home)
	}
	own := UserHouse()
	if own == "" {
		t.Skip("no folder for the user's files")
	}
	write := func(path, text string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	found := func(dir string, want ...string) {
		t.Helper()
		list, err := FindHouses(dir)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, h := range list {
			got = append(got, h.Path)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Error(diff)
		}
	}
	beside := filepath.Join(dir, HouseFile)
	found(dir)
	write(own, "web: 300mm\n")
	found(dir, own)
	write(beside, "web: 200mm\n")
	found(dir, beside, own)
	found(filepath.Dir(own), own)
	write(beside, "spots: []\npaper: [93, 0, 0]\n")
	found(dir, own)
	if _, err := ReadHouse(beside); say.KindOf(err) != say.BadFile || !strings.Contains(say.Hint(err), "--house") {
		t.Error(err)
	}
	write(beside, "web: 200\n")
	if _, err := FindHouses(dir); err == nil || !strings.Contains(err.Error(), beside+":1:6: web: ") {
		t.Error(err)
	}
}

// TestHouseNamesFilesBesideItself: a profile is found from the job's folder too.
func TestHouseNamesFilesBesideItself(t *testing.T) {
	h := house(t, filepath.Join("shop", "house.yaml"), "output-intent: {profile: icc/p.icc}\npress: p.yaml\n")
	j, err := Houses{h}.New("jobs", nil)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := j.Path(j.Output.Profile), filepath.Join("shop", "icc", "p.icc"); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if got := j.Press.At("name").Path; got != filepath.Join("shop", "p.yaml") {
		t.Error(got)
	}
	if files := j.Files(); files[0] != h.Path {
		t.Errorf("outputs might replace the house file: %q", files)
	}
}

// TestFreeWeb leaves a house's web where the press has a stock to choose from.
func TestFreeWeb(t *testing.T) {
	h, err := ReadHouse(samples + "house/house.yaml")
	if err != nil {
		t.Fatal(err)
	}
	j, err := Houses{h}.New("", nil)
	if err != nil {
		t.Fatal(err)
	}
	if FreeWeb(j); j.WebWidth != 0 || strings.Contains(taken(j), "web=") {
		t.Errorf("%s, %s", j.WebWidth, taken(j))
	}
	j = New()
	j.WebWidth = 100 * geometry.Millimetre
	if FreeWeb(j); j.WebWidth == 0 {
		t.Error("a web that no house gave is gone")
	}
}

// TestSeenFrom: a file behind a flag, or beside a house file, is found from a job's
// folder that is named from the root.
func TestSeenFrom(t *testing.T) {
	root := t.TempDir()
	t.Chdir(root)
	for _, dir := range []string{"", "jobs", filepath.Join(root, "jobs"), ".."} {
		got := SeenFrom(dir, filepath.Join("shop", "a.dxf"))
		if !filepath.IsAbs(got) {
			got = filepath.Join(dir, got)
		}
		abs, err := filepath.Abs(got)
		if want := filepath.Join(root, "shop", "a.dxf"); err != nil || abs != want {
			t.Errorf("from %q: %s, want %s", dir, abs, want)
		}
	}
	if abs := filepath.Join(root, "a"); SeenFrom("jobs", abs) != abs {
		t.Error("a path from the root is changed")
	}
}
