package labels

import "testing"

// What symbols should say is put together from names, braces and identifiers, and
// what was read is compared whatever a reader makes of function characters.
func TestSays(t *testing.T) {
	s := &spec{Names: []string{"gtin", "serial"}}
	values := []string{"09501101530003", "A(10)B"}
	of := func(kind string) *struct{ Kind string } { return &struct{ Kind string }{kind} }
	typed := []struct{ AI, Value string }{{"01", "{gtin}"}, {"21", "{ serial }"}}
	for _, c := range []struct {
		field field
		read  string
		same  bool
	}{
		{field{Value: "{{{serial}}}", Symbol: of("qr")}, "{A(10)B}", true},
		{field{Value: "{serial}", Symbol: of("qr")}, "A(10)C", false},
		{field{Elements: typed, Symbol: of("gs1-qr")}, "010950110153000321A(10)B", true},
		{field{Elements: typed, Symbol: of("gs1-data-matrix")}, "\x1d0109501101530003\x1d21A(10)B", true},
		{field{Elements: typed, Symbol: of("gs1-qr")}, "010950110153000321A10B", false},
		{field{Value: "(01){gtin}(10)L", Symbol: of("gs1-128")}, "010950110153000310L", true},
		{field{Value: "(01){gtin}(21){serial}", Symbol: of("gs1-128")}, "]C1010950110153000321A(10)B", true},
		{field{Elements: typed, Link: "https://example.com/", Symbol: of("qr")}, "https://example.com/01/09501101530003/21/A%2810%29B", true},
		{field{Elements: typed, Link: "https://example.com", Symbol: of("qr")}, "https://example.com/01/09501101530003?21=A(10)B", true},
		{field{Elements: typed, Link: "https://example.com", Symbol: of("qr")}, "https://example.com/01/09501101530003/21/A", false},
		{field{Elements: typed, Link: "https://example.org", Symbol: of("qr")}, "https://example.com/01/09501101530003/21/A%2810%29B", false},
		{field{Value: "036000291452", Symbol: of("upc-a")}, "0036000291452", true},
	} {
		if want, same := s.says(c.field, values, c.read); same != c.same {
			t.Errorf("%+v reads %q, should say %q: %v", c.field, c.read, want, same)
		}
	}
}
