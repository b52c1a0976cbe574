package main

import (
	"os"
	"slices"
	"strings"
	"testing"
)

// developers is the contributors' guide, whose table of rooms names what each
// may import.
const developers = "../../DEVELOPERS.md"

// TestEveryRoomStandsInTheGuide compares the guide's table with the directions
// that TestImportsPointOneWay holds. UPDATE=1 writes the column of imports anew;
// the sentence about a room is for people to write.
func TestEveryRoomStandsInTheGuide(t *testing.T) {
	text, err := os.ReadFile(developers)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(text), "\n")
	said := map[string]bool{}
	for i, line := range lines {
		cells := strings.Split(line, " | ")
		room, isRoom := strings.CutPrefix(cells[0], "| `")
		if room = "quoin/" + strings.TrimSuffix(room, "`"); !isRoom || len(cells) != 3 || !strings.ContainsAny(room, "/") {
			continue
		}
		may, known := allowed[room]
		if !known {
			if room != "quoin/cmd/quoin" {
				t.Errorf("the guide has a room %s, which is no package", room)
			}
			continue
		}
		said[room] = true
		if want := importCell(may); cells[2] != want+" |" {
			if os.Getenv("UPDATE") == "" {
				t.Errorf("%s: the guide says that it imports %q, the directions %q; UPDATE=1 writes it anew", room, strings.TrimSuffix(cells[2], " |"), want)
			}
			lines[i] = strings.Join([]string{cells[0], cells[1], want + " |"}, " | ")
		}
	}
	for room := range allowed {
		if !said[room] {
			t.Errorf("the guide's table has no room %s", strings.TrimPrefix(room, "quoin/"))
		}
	}
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(developers, []byte(strings.Join(lines, "\n")), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// importCell lists packages by their last names, in the order of the letters.
func importCell(may []string) string {
	var names []string
	for _, path := range may {
		names = append(names, path[strings.LastIndexByte(path, '/')+1:])
	}
	slices.Sort(names)
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}
