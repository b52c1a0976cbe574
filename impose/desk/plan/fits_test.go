package plan

import (
	"context"
	"strings"
	"testing"
)

// TestObstacles: an artwork of another size that is also too wide for its lanes is
// refused for both.
func TestObstacles(t *testing.T) {
	f := opened(t)
	plainLabel(t, f, "390x75mm")
	text := []byte("press: press.yaml\nweb: 340mm\nlabel: 50x75mm\ngap: 3x3mm\nbleed: 0.5mm\nturn: 0\ninks: {technical: [Cutting]}\nartworks:\n- file: artwork/orchard-juice.pdf\n  quantity: 1000\n")
	b := NewBench(f, "old.yaml")
	defer b.Close()
	if r, err := b.Plan(context.Background(), text); err != nil || !r.Planned() {
		t.Fatalf("the old job: %v %+v", err, r.Faults)
	}
	text, err := Again("old.yaml", text, 1, "small.pdf")
	if err != nil {
		t.Fatal(err)
	}
	r, list, err := b.Obstacles(context.Background(), text, "small.pdf")
	if err != nil || r.Planned() {
		t.Fatalf("%v, and it fits", err)
	}
	if len(list) != 2 || !strings.Contains(list[0].Text, "is not the label of 50 x 75 mm") || list[1].Key != "web" {
		t.Errorf("what stands in the way is %+v", list)
	}
}
