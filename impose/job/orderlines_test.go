package job

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// listed reads an order file and gives its orders, as ID*quantity, its bad ones,
// as ID@line, and its words.
func listed(t *testing.T, text string) (orders, bad string, words []string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "o.csv")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	list, err := OrderForm{}.ReadList(path)
	if err != nil {
		t.Fatal(err)
	}
	var a, b []string
	for _, o := range list.Orders {
		a = append(a, fmt.Sprintf("%s*%d", o.ID, o.Quantity))
	}
	for _, f := range list.Bad {
		b = append(b, fmt.Sprintf("%s@%d", f.Record, f.Line))
	}
	for _, f := range list.Words {
		words = append(words, strings.TrimSpace(f.Record+" "+f.Text()+" "+f.Hint))
	}
	return strings.Join(a, " "), strings.Join(b, " "), words
}

// One line that can't be read is listed with its number, and the order it
// belongs to where that can be told; the lines around it are read.
func TestOneBadLineCostsNoOther(t *testing.T) {
	const head = "order,product,quantity,label\n"
	for name, c := range map[string]struct{ text, orders, bad string }{
		"Latin-1":            {head + "A,Juice,1,\nB,M\xfcsli,2,\nC,Cider,3,\n", "A*1 B*2 C*3", ""},
		"Latin-1 in UTF-8":   {head + "A,J\u00fcice,1,\nB,M\xfcsli,2,\nC,Cider,3,\n", "A*1 C*3", "B@3"},
		"Latin-1 order":      {head + "A,J\u00fcice,1,\n\xfc,Perry,2,\nC,Cider,3,\n", "A*1 C*3", "@3"},
		"Latin-1 column":     {"order,quantity,K\xfcrzel\nA,1,\n", "A*1", ""},
		"control character":  {head + "A,Juice,1,\nB,Pe\x01rry,2,\nC,Cider,3,\n", "A*1 C*3", "B@3"},
		"inch mark":          {head + "A,3\" core,1,\nB,Perry,2,\n", "B*2", "A@2"},
		"open quote":         {head + "A,\"Juice,1,\nB,Perry,2,\nC,Cider,3,\n", "B*2 C*3", "A@2"},
		"quotes that pair":   {head + "A,\"Juice,1,\nB,Perry\",2,\nC,Cider,3,\n", "C*3", "A@2 B@3"},
		"open quote, quotes": {head + "A,\"Juice,1,\nB,\"Perry, dry\",2,\nC,Cider,3,\n", "B*2 C*3", "A@2"},
		"text behind quote":  {head + "A,\"Juice\" new,1,\nB,Perry,2,\n", "B*2", "A@2"},
		"a line of quotes":   {head + "\"\n\"\nB,Perry,2,\n", "B*2", ""},
		"too long":           {head + "A,Juice, dry,1,50x75mm\nB,Perry,2,\n", "B*2", "A@2 A@2 A@2"},
		"too short":          {head + "A,Juice\nB,Perry,2,\n", "B*2", "A@2"},
		"honest line ends":   {head + "A,\"Juice\nand more\",1,\nB,Perry,2,\n", "A*1 B*2", ""},
		"all bad":            {head + "A,Juice,x,\nB,Perry,y,\n", "", "A@2 B@3"},
	} {
		if orders, bad, _ := listed(t, c.text); orders != c.orders || bad != c.bad {
			t.Errorf("%s: orders %q, bad %q; want %q, %q", name, orders, bad, c.orders, c.bad)
		}
	}
}

// Which of two orders of one number is right, nobody knows; the same line twice
// is one order.
func TestOrderNumbersSaidTwice(t *testing.T) {
	const head = "order,quantity,material\n"
	for name, c := range map[string]struct{ text, orders, bad, words string }{
		"differ": {"A,1,film\nB,2,\nA,3,film\n", "B*2", "A@2 A@4", ""},
		"same":   {"A,1,film\nB,2,\nA, 1 ,film\n", "A*1 B*2", "", "A order: A is in line 2 too, and says the same: it is taken once"},
		"two of three": {"A,1,film\nA,1,film\nA,3,film\nB,2,\n", "B*2", "A@2 A@4",
			"A order: A is in line 2 too, and says the same: it is taken once"},
		"one bad":    {"A,x,film\nB,2,\nA,3,film\nC,4,\n", "B*2 C*4", "A@2 A@2 A@4", ""},
		"unreadable": {"A,1,M\xfcsli\nB,2,\u00fc\nA,3,film\nC,4,\n", "B*2 C*4", "A@2 A@2 A@4", ""},
	} {
		orders, bad, words := listed(t, head+c.text)
		if orders != c.orders || bad != c.bad || strings.Join(words, "; ") != c.words {
			t.Errorf("%s: orders %q, bad %q, words %q; want %q, %q, %q", name, orders, bad, words, c.orders, c.bad, c.words)
		}
	}
}

// In files of semicolons and tabs the comma is the decimal mark. A count with a
// point is only read as thousands where the file shows what its marks mean.
func TestDecimalCommas(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"commas":          {"order;quantity;label;overs\nA;1000;50,5x75,25mm;2,5%\n", "1000 50.5 mm x 75.25 mm 2.5%"},
		"tabs":            {"order\tquantity\tlabel\tovers\nA\t1000\t50,5x75,25mm\t2,5%\n", "1000 50.5 mm x 75.25 mm 2.5%"},
		"points":          {"order;quantity;label;overs\nA;1000;50.5x75.25mm;2.5%\n", "1000 50.5 mm x 75.25 mm 2.5%"},
		"thousands":       {"order;quantity;label;overs\nA;1.250.000;50,5x75mm;2%\n", "1250000 50.5 mm x 75 mm 2%"},
		"thousands alone": {"order;quantity;label;overs\nA;5.000;50x75mm;2%\n", "may be 5000"},
		"marks that mix":  {"order;quantity;label;overs\nA;5.000;50.5x75mm;2,5%\n", "may be 5000"},
		"three decimals":  {"order;quantity;label;overs\nA;5,000;50,5x75mm;2,5%\n", "may be 5000"},
		"comma file":      {"order,quantity,label,overs\nA,1000,\"50,5x75mm\",2%\n", "is not a size"},
	} {
		orders, err := ParseOrders("o.csv", []byte(c.text))
		got := fmt.Sprint(err)
		if err == nil {
			got = fmt.Sprint(orders[0].Quantity, " ", orders[0].Label.Across, " x ", orders[0].Label.Around, " ", *orders[0].Overs)
		}
		if !strings.Contains(got, c.want) {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// Exports carry columns that are of no use here. They are ignored with a word,
// a misspelt one with the near word; but nothing that may flag a drug label is.
func TestColumnsThatAreIgnored(t *testing.T) {
	const rest = "\nA,1,x,\nB,2,,\n"
	orders, bad, words := listed(t, "order,quantity,customer,lable"+rest)
	if orders != "A*1 B*2" || bad != "" || len(words) != 2 || words[0] != `the column "customer" is ignored` ||
		words[1] != `the column "lable" is not known and is ignored did you mean label?` {
		t.Errorf("%q, %q, %q", orders, bad, words)
	}
	if orders, bad, _ := listed(t, "order,quantity,flag,note"+rest); orders != "B*2" || bad != "A@2" {
		t.Errorf("a misspelt flags: %q, %q", orders, bad)
	}
	if orders, bad, _ := listed(t, "order,quantity,kind\nA,1,Drug Label\nB,2,\n"); orders != "B*2" || bad != "A@2" {
		t.Errorf("a drug label in another column: %q, %q", orders, bad)
	}
}

func TestFlagsInAnyLetters(t *testing.T) {
	orders, err := ParseOrders("o.csv", []byte("order,quantity,flags\nA,1,DRUG-LABEL\nB,1,Drug Label|No_Split\n"))
	if err != nil || !orders[0].DrugLabel || !orders[1].DrugLabel || !orders[1].NoSplit {
		t.Errorf("%+v, %v", orders, err)
	}
}

// Only a file that is no list of orders at all is an error of its own.
func TestFilesThatAreNoLists(t *testing.T) {
	for name, text := range map[string]string{
		"a.csv": "order,amount\nA,1\n", "b.csv": "", "c.csv": "\xff\xfeo\x00r\x00d\x00e\x00r\x00\n\x00", "d.yaml": "orders: x\n", "e.yaml": "a: [",
	} {
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		_, err := OrderForm{}.ReadList(path)
		if e, ok := errors.AsType[*FileError](err); !ok || !e.Whole {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What is split and joined again is the same, and no line is lost: every one
// is in an order, in a fault or repeats another.
func FuzzOrdersCSV(f *testing.F) {
	seeds(f, samples+"orders.csv", "testdata/faults/orders.csv")
	f.Add([]byte("order;quantity\n\"1\n;2\nA;5\nA;5\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		orders, words, err := orderFile.parse("orders.csv", data, OrderForm{})
		sound(t, data, err)
		seen := map[string]bool{}
		for _, o := range orders {
			if o.ID == "" || o.Quantity < 1 || seen[o.ID] {
				t.Fatalf("an order that can't be: %+v", o)
			}
			seen[o.ID] = true
		}
		if e, ok := errors.AsType[*FileError](err); ok && !e.Whole {
			for _, fault := range e.Faults {
				if seen[fault.Record] {
					t.Fatalf("order %q is taken and at fault: %v", fault.Record, err)
				}
			}
		}
		for _, w := range words {
			if w.Line < 1 || w.Text() == "" {
				t.Fatalf("a word without a place: %+v", w)
			}
		}
	})
}
