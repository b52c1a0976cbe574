package safe

import (
	"bytes"
	"crypto/sha256"
	"crypto/subtle"
	"fmt"
	"html"
	"net/http"
	"os"
	"runtime"
	"slices"
	"time"

	"quoin/impose/say"
)

// leastPassword is how long a password must be that guards an address which
// others reach: NIST SP 800-63B, 5.1.1.1 asks for 8 or more.
const leastPassword = 8

// Password reads the file that holds the password and gives its check. A file
// that others may read is refused.
func Password(path string) (func(string) bool, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return nil, say.Refuse(say.Usage, "chmod 600 "+path, "%s can be read by others", path)
	}
	if info.Size() > 4096 {
		return nil, say.Refuse(say.Usage, "", "%s is no password file: it is too large", path)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	text = bytes.TrimRight(text, "\r\n")
	if len(text) < leastPassword {
		return nil, say.Refuse(say.Usage, "make it longer", "the password in %s is shorter than %d characters", path, leastPassword)
	}
	want := sha256.Sum256(text)
	return func(given string) bool {
		got := sha256.Sum256([]byte(given))
		return subtle.ConstantTimeCompare(got[:], want[:]) == 1
	}, nil
}

// pace lets five wrong passwords a minute through.
func (g *Guard) pace() bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.wrong = slices.DeleteFunc(g.wrong, func(t time.Time) bool { return time.Since(t) > time.Minute })
	return len(g.wrong) < 5
}

// enter takes a password.
func (g *Guard) enter(w http.ResponseWriter, r *http.Request) {
	switch {
	case r.Method == http.MethodGet:
		g.ask(w, http.StatusOK, "")
	case !g.ownOrigin(r, false):
		refuse(w, http.StatusForbidden, "another site sent this request")
	case !g.pace():
		w.Header().Set("Retry-After", "60")
		g.ask(w, http.StatusTooManyRequests, "Too many wrong passwords. Wait a minute.")
	default:
		r.Body = http.MaxBytesReader(w, r.Body, 8192)
		if !g.password(r.PostFormValue("password")) {
			g.mu.Lock()
			g.wrong = append(g.wrong, time.Now())
			g.mu.Unlock()
			g.ask(w, http.StatusUnauthorized, "That is not the password.")
			return
		}
		g.signIn(w, r)
	}
}

func (g *Guard) ask(w http.ResponseWriter, code int, text string) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(code)
	fmt.Fprintf(w, `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Password – desk</title></head><body><main><h1>The desk</h1>
<p role="alert">%s</p><form method="post" action="/enter"><label>Password <input type="password" name="password" autocomplete="current-password" required></label> <button>Enter</button></form></main></body></html>
`, html.EscapeString(text))
}
