package safe

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"
)

// Guard lets requests through to a handler, or not.
type Guard struct {
	next     http.Handler
	hosts    func(string) bool // of the Host header, without its port
	port     string
	cookie   string // its name: cookies don't know ports
	secret   string // in the first address; also a script's bearer token
	password func(string) bool
	tls      bool

	mu       sync.Mutex
	sessions map[[32]byte]time.Time // hashes of cookies, with their last use
	wrong    []time.Time            // failed passwords, for the pace
}

// Options say who may come in.
type Options struct {
	Port string
	// Hosts are names and addresses, beside those of the loopback, that the desk
	// answers to; only with Password, or where TLS asks for client certificates.
	Hosts []string
	// Password checks the password of whoever comes from elsewhere; nil: nobody
	// does, or TLS has seen their certificate.
	Password func(string) bool
	TLS      bool
	// Certified lets in whoever TLS has seen the certificate of.
	Certified bool
}

// New puts a guard before a handler.
func New(next http.Handler, o Options) *Guard {
	g := &Guard{next: next, port: o.Port, secret: token(), cookie: "quoin-desk-" + o.Port, password: o.Password, tls: o.TLS, sessions: map[[32]byte]time.Time{}}
	g.hosts = func(host string) bool {
		if host == "localhost" {
			return true
		}
		if ip := net.ParseIP(host); ip != nil && ip.IsLoopback() {
			return true
		}
		return slices.ContainsFunc(o.Hosts, func(h string) bool { return strings.EqualFold(h, host) })
	}
	if o.Certified {
		g.password = nil
	}
	return g
}

// token returns 32 random bytes as text.
func token() string {
	var b [32]byte
	rand.Read(b[:])
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// Key is the secret of the first address.
func (g *Guard) Key() string { return g.secret }

// policy lets a page load what the desk serves and send to the desk alone
// (W3C, Content Security Policy Level 3).
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

func headers(h http.Header) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
	h.Set("Cache-Control", "no-store")
}

// ServeHTTP lets a request through or says why not.
func (g *Guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	headers(w.Header())
	switch {
	case !g.ownHost(r.Host):
		refuse(w, http.StatusMisdirectedRequest, "this is not the desk's own address")
	case !known(r.Method):
		w.Header().Set("Allow", "GET, HEAD, POST")
		refuse(w, http.StatusMethodNotAllowed, "the desk knows GET, HEAD and POST")
	case r.URL.Path == "/open" && r.Method == http.MethodGet:
		g.open(w, r)
	case r.URL.Path == "/enter" && g.password != nil:
		g.enter(w, r)
	case bearer(r) != "":
		if !same(bearer(r), g.secret) {
			g.unknown(w, r)
			return
		}
		if !g.ownOrigin(r, true) {
			refuse(w, http.StatusForbidden, "another site sent this request")
			return
		}
		g.next.ServeHTTP(w, r)
	case !g.signedIn(r):
		g.unknown(w, r)
	case !g.ownOrigin(r, r.Method == http.MethodGet || r.Method == http.MethodHead):
		refuse(w, http.StatusForbidden, "another site sent this request")
	default:
		g.next.ServeHTTP(w, r)
	}
}

func known(method string) bool {
	return method == http.MethodGet || method == http.MethodHead || method == http.MethodPost
}

func refuse(w http.ResponseWriter, code int, text string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(code)
	w.Write([]byte(text + "\n"))
}

// ownHost refuses names that lead here but are not the desk's: a page of another
// site whose name was turned to this machine.
func (g *Guard) ownHost(host string) bool {
	name, port, err := net.SplitHostPort(host)
	return err == nil && port == g.port && g.hosts(strings.ToLower(name))
}

// ownOrigin refuses what another site's page sends. Without the header a request
// passes if lenient, or if the browser says that it is the desk's own.
func (g *Guard) ownOrigin(r *http.Request, lenient bool) bool {
	if site := r.Header.Get("Sec-Fetch-Site"); site == "cross-site" || site == "same-site" {
		return false
	}
	origin := r.Header.Get("Origin")
	if origin == "" {
		return lenient || r.Header.Get("Sec-Fetch-Site") == "same-origin"
	}
	u, err := url.Parse(origin)
	return err == nil && strings.EqualFold(u.Host, r.Host) && (u.Scheme == "https") == g.tls && (u.Scheme == "http" || u.Scheme == "https")
}

func same(a, b string) bool {
	x, y := sha256.Sum256([]byte(a)), sha256.Sum256([]byte(b))
	return subtle.ConstantTimeCompare(x[:], y[:]) == 1
}

func bearer(r *http.Request) string {
	text, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	return text
}

func (g *Guard) signedIn(r *http.Request) bool {
	if g.tls && g.password == nil && r.TLS != nil && len(r.TLS.VerifiedChains) > 0 {
		return true
	}
	c, err := r.Cookie(g.cookie)
	if err != nil {
		return false
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	sum := sha256.Sum256([]byte(c.Value))
	if _, ok := g.sessions[sum]; !ok {
		return false
	}
	g.sessions[sum] = time.Now()
	return true
}

// open turns the secret of the first address into a cookie, and forgets the
// address.
func (g *Guard) open(w http.ResponseWriter, r *http.Request) {
	if !same(r.URL.Query().Get("key"), g.secret) {
		g.unknown(w, r)
		return
	}
	g.signIn(w, r)
}

// mostSessions is more browsers than one desk has.
const mostSessions = 200

func (g *Guard) signIn(w http.ResponseWriter, r *http.Request) {
	value := token()
	g.mu.Lock()
	if len(g.sessions) >= mostSessions {
		var oldest [32]byte
		var when time.Time
		for k, t := range g.sessions {
			if when.IsZero() || t.Before(when) {
				oldest, when = k, t
			}
		}
		delete(g.sessions, oldest)
	}
	g.sessions[sha256.Sum256([]byte(value))] = time.Now()
	g.mu.Unlock()
	http.SetCookie(w, &http.Cookie{Name: g.cookie, Value: value, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: g.tls})
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// unknown answers whoever has not signed in.
func (g *Guard) unknown(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("WWW-Authenticate", "Bearer")
	if g.password != nil && r.Method == http.MethodGet && strings.Contains(r.Header.Get("Accept"), "text/html") {
		g.ask(w, http.StatusUnauthorized, "")
		return
	}
	refuse(w, http.StatusUnauthorized, "open the address that quoin desk has printed; it holds the key")
}
