package deskwalk

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// hostile is a request that is no friend's, and how it is to be answered.
type hostile struct {
	name   string
	method string
	path   string
	body   string
	set    map[string]string // headers; "" takes one away
	anon   bool              // without the cookie
	want   int
}

// TestDeskHostile sends what no friend sends. Nothing of it is done, nothing of
// the folder's outside is shown, and the desk answers as before.
func TestDeskHostile(t *testing.T) {
	t.Parallel()
	dir := samplesIn(t)
	outside := t.TempDir()
	write := func(path, text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(outside, "press.yaml"), "name: secret-of-the-house\n")
	write(filepath.Join(outside, "job.yaml"), "name: secret-of-the-house\nartworks: [{file: a.pdf}]\n")
	for _, link := range []string{"out.yaml", "linked.pdf"} {
		if err := os.Symlink(filepath.Join(outside, "job.yaml"), filepath.Join(dir, link)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(outside, filepath.Join(dir, "away")); err != nil {
		t.Fatal(err)
	}
	write(filepath.Join(dir, "reaches.yaml"), "press: "+outside+"/press.yaml\nweb: 340mm\nartworks: [{file: artwork/orchard-juice.pdf}]\n")
	write(filepath.Join(dir, "climbs.yaml"), "press: ../"+filepath.Base(outside)+"/press.yaml\nweb: 340mm\nartworks: [{file: ../../../etc/passwd}]\n")
	write(filepath.Join(dir, ".hidden.yaml"), "name: secret-of-the-house\nartworks: []\n")
	d := openDesk(t, dir)

	_, port, _ := net.SplitHostPort(d.host)
	var job struct{ Version string }
	_, text := d.ask("GET", "/job/job.yaml", "")
	if err := json.Unmarshal([]byte(text), &job); err != nil {
		t.Fatal(err)
	}
	change := func(key, value string) string {
		b, _ := json.Marshal(map[string]any{"base": job.Version, "set": []map[string]string{{"key": key, "value": value}}})
		return string(b)
	}
	exact := func(key, value string) string {
		return strings.Replace(change(key, value), `"set"`, `"exact":true,"set"`, 1)
	}
	const js = "application/json"
	cases := []hostile{
		{"another name that leads here", "GET", "/", "", map[string]string{"Host": "rebound.example:" + port}, false, 421},
		{"the right name, another port", "GET", "/", "", map[string]string{"Host": "127.0.0.1:1"}, false, 421},
		{"no host's name", "GET", "/", "", map[string]string{"Host": "-"}, false, 421},
		{"another machine's address", "GET", "/", "", map[string]string{"Host": "192.0.2.7:" + port}, false, 421},
		{"a post of another site", "POST", "/change/job.yaml", change("bleed", "2"), map[string]string{"Origin": "https://other.example"}, false, 403},
		{"a post of a page without an origin", "POST", "/change/job.yaml", change("bleed", "2"), map[string]string{"Origin": "null"}, false, 403},
		{"materials changed by another site", "POST", "/materials/press.yaml", `{"base":"x","drop":"finishing.stripping[0]"}`, map[string]string{"Origin": "https://other.example"}, false, 403},
		{"materials of a file outside", "POST", "/materials/away/press.yaml", `{"base":"x","drop":"finishing.stripping[0]"}`, nil, false, 403},
		{"materials that are none", "POST", "/materials/press.yaml", `{"base":"x","drop":"web-max"}`, nil, false, 400},
		{"a night whose pin is no pin", "POST", "/night-plan/orders.csv", `{"together":"A,B"}`, nil, false, 400},
		{"a post of another port", "POST", "/change/job.yaml", change("bleed", "2"), map[string]string{"Origin": "http://127.0.0.1:1"}, false, 403},
		{"a post that says no origin", "POST", "/change/job.yaml", change("bleed", "2"), map[string]string{"Origin": ""}, false, 403},
		{"a post that the browser calls cross-site", "POST", "/change/job.yaml", change("bleed", "2"), map[string]string{"Sec-Fetch-Site": "cross-site"}, false, 403},
		{"a picture in another site's page", "GET", "/thumb/job.yaml", "", map[string]string{"Sec-Fetch-Site": "cross-site"}, false, 403},
		{"no cookie", "GET", "/job/job.yaml", "", nil, true, 401},
		{"a made-up cookie", "GET", "/job/job.yaml", "", map[string]string{"Cookie": "quoin-desk-" + port + "=AAAA"}, true, 401},
		{"a made-up key", "GET", "/open?key=AAAA", "", nil, true, 401},
		{"no key", "GET", "/open", "", nil, true, 401},
		{"a made-up bearer", "GET", "/jobs", "", map[string]string{"Authorization": "Bearer AAAA"}, true, 401},
		{"events without a cookie", "GET", "/events", "", nil, true, 401},
		{"a climb", "GET", "/job/..%2f..%2fetc%2fpasswd", "", nil, false, 404},
		{"a climb to a job", "GET", "/job/..%2f" + filepath.Base(outside) + "%2fjob.yaml", "", nil, false, 403},
		{"a climb with backslashes", "GET", "/job/..%5c..%5cjob.yaml", "", nil, false, 403},
		{"a path from the root", "GET", "/job/%2fetc%2fhosts.yaml", "", nil, false, 403},
		{"a zero byte in a path", "GET", "/job/a%00.yaml", "", nil, false, 403},
		{"a link out", "GET", "/job/out.yaml", "", nil, false, 403},
		{"a folder that is a link out", "GET", "/job/away/job.yaml", "", nil, false, 403},
		{"an artwork that is a link out", "GET", "/artwork/linked.pdf", "", nil, false, 403},
		{"a hidden file", "GET", "/job/.hidden.yaml", "", nil, false, 403},
		{"a file that was not written", "GET", "/files/press.yaml", "", nil, false, 404},
		{"a climb out of what was written", "GET", "/files/out%2f..%2fpress.yaml", "", nil, false, 403},
		{"a method of nobody's", "DELETE", "/job/job.yaml", "", nil, false, 405},
		{"a trace", "TRACE", "/", "", nil, false, 405},
		{"a change by GET", "GET", "/change/job.yaml", "", nil, false, 405},
		{"a form in place of JSON", "POST", "/change/job.yaml", "base=1", map[string]string{"Content-Type": "application/x-www-form-urlencoded"}, false, 415},
		{"text in place of JSON", "POST", "/change/job.yaml", change("bleed", "2"), map[string]string{"Content-Type": "text/plain"}, false, 415},
		{"no JSON", "POST", "/change/job.yaml", "{", map[string]string{"Content-Type": js}, false, 400},
		{"unknown keys", "POST", "/change/job.yaml", `{"run":"rm"}`, map[string]string{"Content-Type": js}, false, 400},
		{"two megabytes of JSON", "POST", "/change/job.yaml", `{"base":"` + strings.Repeat("a", 2<<20) + `"}`, map[string]string{"Content-Type": js}, false, 413},
		{"a value nobody knows", "POST", "/change/job.yaml", change("x-house", "1"), nil, false, 400},
		{"an exact value nobody knows", "POST", "/change/job.yaml", exact("x-house", "1"), nil, false, 400},
		{"lines smuggled into a value", "POST", "/change/job.yaml", exact("name", "a\npress: /etc/passwd"), nil, false, 422},
		{"a key smuggled into braces", "POST", "/change/job.yaml", exact("material.kind", "film}\nx: {a"), nil, false, 422},
		{"a count that is none", "POST", "/change/job.yaml", change("lanes", "1; rm"), nil, false, 422},
		{"a job of an artwork outside", "POST", "/new", `{"artworks":["../` + filepath.Base(outside) + `/a.pdf"]}`, nil, false, 403},
		{"a job of no artwork", "POST", "/new", `{"artworks":[]}`, nil, false, 400},
		{"a job of what is no PDF", "POST", "/new", `{"artworks":["press.yaml"]}`, nil, false, 422},
		{"a picture of nothing", "GET", "/picture/0123.png", "", nil, false, 404},
		{"a plate beyond the last", "GET", "/plate/job.yaml?ink=99", "", nil, false, 422},
		{"an artwork beyond the last", "GET", "/look/job.yaml?artwork=99999999999999999999", "", nil, false, 400},
		{"work that is not there", "POST", "/stop/99", "{}", nil, false, 404},
		{"a part nobody writes", "POST", "/write/job.yaml", `{"parts":["; rm -rf"]}`, nil, false, 400},
	}
	for _, c := range cases {
		code, text, header := d.send(c)
		if code != c.want {
			t.Errorf("%s: %d, want %d: %.200s", c.name, code, c.want, text)
		}
		if strings.Contains(text, "secret-of-the-house") || strings.Contains(text, "root:") {
			t.Errorf("%s shows what is outside: %.300s", c.name, text)
		}
		if !strings.Contains(header.Get("Content-Security-Policy"), "default-src 'none'") || header.Get("X-Content-Type-Options") != "nosniff" || header.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: headers %v", c.name, header)
		}
	}
	if len(cases) < 30 {
		t.Errorf("only %d requests", len(cases))
	}
	for _, path := range []string{"/job/reaches.yaml", "/job/climbs.yaml"} { // shown as refused, and nothing of those files with it
		code, text := d.ask("GET", path, "")
		if code != 200 || !strings.Contains(text, "leads out of the folder") || strings.Contains(text, "secret-of-the-house") {
			t.Errorf("%s: %d %.400s", path, code, text)
		}
	}
	if _, now := d.ask("GET", "/job/job.yaml", ""); !strings.Contains(now, job.Version) {
		t.Error("a hostile request changed the job")
	}
	if code, text := d.ask("GET", "/jobs", ""); code != 200 || strings.Contains(text, "out.yaml") || strings.Contains(text, "away") || strings.Contains(text, "hidden") {
		t.Errorf("the list shows what leads out: %d %s", code, text)
	}
}

// send sends a hostile request.
func (d *desk) send(c hostile) (int, string, http.Header) {
	d.t.Helper()
	r, err := http.NewRequestWithContext(context.Background(), c.method, "http://"+d.host+c.path, strings.NewReader(c.body))
	if err != nil {
		d.t.Fatal(err)
	}
	r.Header.Set("Accept", "application/json")
	if c.method == "POST" {
		r.Header.Set("Origin", "http://"+d.host)
		r.Header.Set("Content-Type", "application/json")
	}
	for k, v := range c.set {
		switch {
		case k == "Host":
			r.Host = v
		case v == "":
			r.Header.Del(k)
		default:
			r.Header.Set(k, v)
		}
	}
	client := &http.Client{Timeout: time.Minute, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	if !c.anon {
		client.Jar = d.client.Jar
	}
	if r.Host != d.host {
		for _, cookie := range d.client.Jar.Cookies(r.URL) {
			r.AddCookie(cookie)
		}
		client.Jar = nil
	}
	answer, err := client.Do(r)
	if err != nil {
		d.t.Fatalf("%s: %v", c.name, err)
	}
	defer answer.Body.Close()
	text, _ := io.ReadAll(io.LimitReader(answer.Body, 1<<20))
	return answer.StatusCode, string(text), answer.Header
}

// drop uploads files.
func (d *desk) drop(files map[string][]byte) (int, string) {
	d.t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	for name, data := range files {
		part, err := form.CreateFormFile("file", name)
		if err != nil {
			d.t.Fatal(err)
		}
		part.Write(data)
	}
	form.Close()
	code, text, _ := d.send(hostile{name: "drop", method: "POST", path: "/upload", body: b.String(), set: map[string]string{"Content-Type": form.FormDataContentType()}})
	return code, text
}

// bomb is a PDF whose page decompresses to so many megabytes: an eighth of them has
// states of graphics saved, which take a renderer more memory for a byte, and less
// time, than shapes do.
func bomb(megabytes int) []byte {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	saved, blank := bytes.Repeat([]byte("q "), 1<<19), bytes.Repeat([]byte(" "), 1<<20)
	for i := range megabytes {
		if i < megabytes/8 {
			z.Write(saved)
		} else {
			z.Write(blank)
		}
	}
	z.Close()
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n")
	b.WriteString("3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 100 100]/Contents 4 0 R/Resources<<>>>>endobj\n")
	fmt.Fprintf(&b, "4 0 obj<</Length %d/Filter/FlateDecode>>stream\n", packed.Len())
	b.Write(packed.Bytes())
	b.WriteString("\nendstream endobj\ntrailer<</Root 1 0 R>>\n")
	return b.Bytes()
}

// TestDeskDrops drops what is no artwork, what is far too large when it is looked
// at, and names that lead elsewhere.
func TestDeskDrops(t *testing.T) {
	t.Parallel()
	dir := samplesIn(t)
	d := openDesk(t, dir)
	pdf, err := os.ReadFile(filepath.Join(dir, "artwork", "orchard-juice.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	if code, text := d.drop(map[string][]byte{"x.pdf": []byte("<html>no PDF</html>")}); code != 415 {
		t.Errorf("what is no PDF: %d %s", code, text)
	}
	if code, text := d.drop(map[string][]byte{"../../../escape.pdf": append([]byte{}, append(pdf, '\n')...)}); code != 201 || !strings.Contains(text, `"artwork/escape.pdf"`) {
		t.Errorf("a name that climbs: %d %s", code, text)
	}
	if code, text := d.drop(map[string][]byte{"x.csv": []byte("order\x00quantity")}); code != 415 {
		t.Errorf("what is no text: %d %s", code, text)
	}
	if code, text := d.drop(map[string][]byte{"x.xlsx": []byte("order,quantity\n")}); code != 415 {
		t.Errorf("what is no workbook: %d %s", code, text)
	}
	if code, text := d.drop(map[string][]byte{"../.hidden/week.csv": []byte("order;quantity\n7;100\n")}); code != 201 || !strings.Contains(text, `"week.csv"`) {
		t.Errorf("an order list: %d %s", code, text)
	}
	if code, text := d.ask("GET", "/night/week.csv", ""); code != 200 || !strings.Contains(text, `"order": "7"`) {
		t.Errorf("the order list that was dropped: %d %.300s", code, text)
	}
	many := map[string][]byte{}
	for i := range 51 {
		many[fmt.Sprintf("m%d.pdf", i)] = []byte(fmt.Sprintf("%%PDF-1.4 %d", i))
	}
	if code, text := d.drop(many); code != 413 {
		t.Errorf("51 files: %d %s", code, text)
	}
	code, text := d.drop(map[string][]byte{"orchard-juice.pdf": pdf})
	if code != 201 || !strings.Contains(text, `"artwork/orchard-juice.pdf"`) {
		t.Errorf("the same again: %d %s", code, text)
	}
	code, text = d.drop(map[string][]byte{"orchard-juice.pdf": append(pdf, "\n% changed"...)})
	if code != 201 || !strings.Contains(text, `"artwork/orchard-juice-2.pdf"`) {
		t.Errorf("another of the same name: %d %s", code, text)
	}
	if code, text := d.drop(map[string][]byte{"bomb.pdf": bomb(200)}); code != 201 {
		t.Fatalf("the bomb: %d %s", code, text)
	}
	if code, text = d.ask("POST", "/new", `{"artworks":["artwork/bomb.pdf"]}`); code == 201 {
		if _, text := d.ask("GET", "/job/bomb.yaml", ""); !strings.Contains(text, `"refused"`) {
			t.Errorf("a bomb is planned: %.300s", text)
		}
	} else if code != 422 {
		t.Errorf("a bomb: %d %.300s", code, text)
	}
	if code, text := d.ask("GET", "/artwork/artwork/bomb.pdf", ""); code != 422 || !strings.Contains(text, "could not be drawn") && !strings.Contains(text, "took longer") {
		t.Errorf("the bomb's picture: %d %.300s", code, text)
	}
	if code, _ := d.ask("GET", "/jobs", ""); code != 200 {
		t.Errorf("the desk no longer answers: %d", code)
	}
}
