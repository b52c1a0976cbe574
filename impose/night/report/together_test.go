package report

import (
	"bytes"
	"strings"
	"testing"

	"quoin/impose/job"
	"quoin/impose/night"
	"quoin/impose/night/nighttest"
	"quoin/impose/night/plan"
)

// TestWhatIsSaidOfManyIsSaidOnce: the text and the page give a reason once, with
// the list of its orders; plan.json keeps a note for each.
func TestWhatIsSaidOfManyIsSaidOnce(t *testing.T) {
	p := made(t, nighttest.Orders(t, "order,quantity,flags,label,due\n000469,600,drug-label,,\n000470,600,drug-label,,\n000471,600,drug-label,,\na,600,alone,,\nb,600,alone,,\nhuge1,5,,500x500mm,\nhuge2,5,,500x500mm,\nc,60,,,2026-03-04\n"), nighttest.Rules())
	if len(p.Notes) != 6 || len(p.Unplanned) != 2 {
		t.Fatalf("notes %q, left out %q", p.Notes, p.Unplanned)
	}
	said := text(t, p)
	if strings.Count(said, job.DrugLabelCaution) != 1 {
		t.Errorf("the caution stands there more than once:\n%s", said)
	}
	for _, want := range []string{
		"    000469, 000470, 000471\n                 drug label, shares no frame (",
		"    a, b         alone, as the customer wishes [alone]\n",
		"    huge1, huge2 does not fit",
		"  1 frame, 0.938 m net",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("nothing says %q:\n%s", want, said)
		}
	}
	var page bytes.Buffer
	if err := HTML(&page, p); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"<li>000469, 000470, 000471: drug label", `<th scope="row">huge1, huge2</th>`, "<p>1 frame of 6 lanes by 12 rows",
	} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the page says nothing of %q", want)
		}
	}
}

func text(t *testing.T, p *plan.Plan) string {
	t.Helper()
	var b strings.Builder
	if err := Text(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func made(t testing.TB, all []job.Order, r *night.Rules) *plan.Plan {
	t.Helper()
	p, err := plan.Make(t.Context(), all, r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
