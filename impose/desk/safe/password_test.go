package safe

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestPasswordFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "password")
	if err := os.WriteFile(path, []byte("quince and plum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	check, err := Password(path)
	if err != nil || !check("quince and plum") || check("quince and plum\n") || check("") {
		t.Errorf("the password is not taken as it is (%v)", err)
	}
	if err := os.WriteFile(path, []byte("short"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Password(path); err == nil {
		t.Error("a short password is taken")
	}
	if runtime.GOOS == "windows" {
		return
	}
	if err := os.Chmod(path, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Password(path); err == nil || !strings.Contains(err.Error(), "others") {
		t.Errorf("a password that all can read: %v", err)
	}
}

// TestEnter: without the password nobody comes in, with it a cookie lets them in,
// and wrong ones are slowed down.
func TestEnter(t *testing.T) {
	reached := 0
	g := New(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { reached++ }),
		Options{Port: "8700", Hosts: []string{"desk.example"}, Password: func(p string) bool { return p == "quince and plum" }})
	ask := func(password, origin string, cookies ...*http.Cookie) *http.Response {
		method, target := "POST", "http://desk.example:8700/enter"
		if password == "" {
			method, target = "GET", "http://desk.example:8700/jobs"
		}
		r := httptest.NewRequest(method, target, strings.NewReader(url.Values{"password": {password}}.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", origin)
		for _, c := range cookies {
			r.AddCookie(c)
		}
		w := httptest.NewRecorder()
		g.ServeHTTP(w, r)
		return w.Result()
	}
	const own = "http://desk.example:8700"
	if got := ask("", own).StatusCode; got != http.StatusUnauthorized || reached > 0 {
		t.Errorf("without a password: %d", got)
	}
	if got := ask("quince and plum", "http://other.example").StatusCode; got != http.StatusForbidden {
		t.Errorf("from another site: %d", got)
	}
	in := ask("quince and plum", own)
	if in.StatusCode != http.StatusSeeOther || len(in.Cookies()) != 1 || in.Cookies()[0].SameSite != http.SameSiteStrictMode || !in.Cookies()[0].HttpOnly {
		t.Fatalf("with the password: %d %v", in.StatusCode, in.Cookies())
	}
	if got := ask("", own, in.Cookies()...).StatusCode; got != http.StatusOK || reached != 1 {
		t.Errorf("with the cookie: %d", got)
	}
	for range 5 {
		if got := ask("wrong", own).StatusCode; got != http.StatusUnauthorized {
			t.Errorf("a wrong password: %d", got)
		}
	}
	if got := ask("quince and plum", own).StatusCode; got != http.StatusTooManyRequests {
		t.Errorf("after five wrong ones: %d", got)
	}
}
