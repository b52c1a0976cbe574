package queue

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/nats-io/nats.go"

	"quoin/impose/queue/broker"
	"quoin/impose/say"
)

// Where says how a queue is reached.
type Where struct {
	URLs      []string // of one broker or of a cluster's
	User      string   // file with NAME:PASSWORD in one line; "" for none
	Authority string   // file of certificates that the brokers' are signed by; "" for the system's
	Name      string   // of this process, for people
	// Waits, when set, is told once what is waited for, when that takes a second.
	Waits func(string)
}

// Stages of reaching a queue, as people are told of them.
const (
	stageDial = "it does not answer yet"
	stageNone = "nobody listens there; perhaps it is being started"
	stageBusy = "it is there and too busy to answer"
	stageOpen = "it answers, and its store is not ready: a cluster chooses its leaders, or a disk is slow"
)

// waiting tells what is waited for, at the stage that it has come to, unless end is
// called within a second.
func (w *Where) waiting() (at func(stage string), end func()) {
	var stage atomic.Value
	t := time.AfterFunc(time.Second, func() {
		if s, ok := stage.Load().(string); ok && w.Waits != nil {
			w.Waits(fmt.Sprintf("waiting for the queue at %s: %s", strings.Join(w.URLs, ", "), s))
		}
	})
	return func(s string) { stage.Store(s) }, func() { t.Stop() }
}

// ParseURLs reads brokers' addresses, parted by commas: nats://host:port, or
// tls://host:port where they are reached over a network.
func ParseURLs(text string) ([]string, error) {
	var list []string
	for one := range strings.SplitSeq(text, ",") {
		one = strings.TrimSpace(one)
		if !strings.Contains(one, "://") {
			one = "nats://" + one
		}
		u, err := url.Parse(one)
		switch {
		case err != nil || u.Host == "" || u.Scheme != "nats" && u.Scheme != "tls":
			return nil, say.Refuse(say.Usage, "write nats://host:port, as quoin queue prints it", "%q is no address of a queue", one)
		case u.User != nil:
			return nil, say.Refuse(say.Usage, "write NAME:PASSWORD into a file and say --queue-user FILE: what stands on a command line everybody reads", "a queue's address holds no password")
		}
		if u.Port() == "" {
			u.Host = net.JoinHostPort(u.Hostname(), "4222")
		}
		list = append(list, u.String())
	}
	return list, nil
}

// Connect reaches a queue and makes its streams where they are missing. Over a
// network it wants TLS and a user.
func Connect(ctx context.Context, w Where) (*Line, error) {
	opts := []nats.Option{
		nats.Name(w.Name), nats.MaxReconnects(-1), nats.ReconnectWait(200 * time.Millisecond), nats.ReconnectJitter(100*time.Millisecond, 100*time.Millisecond),
		nats.Timeout(5 * time.Second), nats.ReconnectBufSize(-1), nats.PingInterval(10 * time.Second), nats.MaxPingsOutstanding(2), nats.IgnoreDiscoveredServers(),
	}
	name, opts, err := asUser(w.User, opts)
	if err != nil {
		return nil, err
	}
	for _, one := range w.URLs {
		u, err := url.Parse(one)
		if err != nil {
			return nil, err
		}
		if ip := net.ParseIP(u.Hostname()); u.Hostname() != "localhost" && (ip == nil || !ip.IsLoopback()) && (u.Scheme != "tls" || w.User == "") {
			return nil, say.Refuse(say.Usage, "write tls://host:port and give --queue-user FILE", "%s is another machine's: it is reached by TLS, as a user", one)
		}
	}
	if w.Authority != "" {
		pool, err := broker.Authority(w.Authority)
		if err != nil {
			return nil, err
		}
		opts = append(opts, nats.Secure(&tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS12}))
	}
	at, end := w.waiting()
	defer end()
	at(stageDial)
	nc, err := dial(ctx, strings.Join(w.URLs, ","), opts, at)
	if err != nil {
		return nil, &say.Refusal{Kind: say.Away, Text: "the queue at " + strings.Join(w.URLs, ", ") + " is not reached", Err: err, Way: "see whether quoin queue runs there, and which address it prints"}
	}
	at(stageOpen)
	return opened(ctx, nc, name)
}

// restart is how long a broker may take to start again; slow how long one that is
// there may take to let somebody in: on a busy machine proving a password takes
// seconds.
const (
	restart = 5 * time.Second
	slow    = 30 * time.Second
)

// dial connects. Where machines answer that nobody listens, a broker may be
// starting again just now.
func dial(ctx context.Context, urls string, opts []nats.Option, at func(stage string)) (*nats.Conn, error) {
	for began := time.Now(); ; {
		nc, err := connect(ctx, urls, opts)
		if err == nil || ctx.Err() != nil {
			return nc, err
		}
		stage, patience := stageNone, restart
		switch there, refused := listens(urls); {
		case there && late(err):
			stage, patience = stageBusy, slow
		case !refused:
			return nil, err
		}
		if time.Since(began) > patience {
			return nil, err
		}
		at(stage)
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(250 * time.Millisecond):
		}
	}
}

// connect tries once. The engine's client knows no context: whoever gives up goes on
// at once, and the try ends by itself.
func connect(ctx context.Context, urls string, opts []nats.Option) (*nats.Conn, error) {
	type end struct {
		nc  *nats.Conn
		err error
	}
	tried := make(chan end, 1)
	go func() {
		nc, err := nats.Connect(urls, opts...)
		tried <- end{nc, err}
	}()
	select {
	case e := <-tried:
		return e.nc, e.err
	case <-ctx.Done():
		go func() {
			if e := <-tried; e.err == nil {
				e.nc.Close()
			}
		}()
		return nil, ctx.Err()
	}
}

// late reports whether a broker did not answer in time. One that is busy asks the
// client whether it lives before it has let it in, which the client takes for a
// wrong answer.
func late(err error) bool {
	var n net.Error
	return errors.Is(err, nats.ErrTimeout) || errors.As(err, &n) && n.Timeout() || strings.Contains(err.Error(), "expected 'PONG', got 'PING'")
}

// listens reports whether anybody listens at one of the addresses, or the machines
// of all are there and nobody does.
func listens(urls string) (there, refused bool) {
	refused = true
	for one := range strings.SplitSeq(urls, ",") {
		u, err := url.Parse(one)
		if err != nil {
			return false, false
		}
		c, err := net.DialTimeout("tcp", u.Host, time.Second)
		if err == nil {
			c.Close()
			there = true
		}
		refused = refused && errors.Is(err, syscall.ECONNREFUSED)
	}
	return there, refused
}

// Inside connects to a broker of this process, over no port.
func Inside(ctx context.Context, b *broker.Broker, user string) (*Line, error) {
	name, opts, err := asUser(user, []nats.Option{nats.MaxReconnects(-1)})
	if err != nil {
		return nil, err
	}
	nc, err := dialInside(ctx, b, opts)
	if err != nil {
		return nil, Words(err)
	}
	return opened(ctx, nc, name)
}

// dialInside connects to a broker of this process, which may be as busy as any.
func dialInside(ctx context.Context, b nats.InProcessConnProvider, opts []nats.Option) (*nats.Conn, error) {
	opts = append(opts, nats.InProcessServer(b), nats.Timeout(slow))
	for began := time.Now(); ; {
		nc, err := connect(ctx, "", opts)
		if err == nil || !late(err) || time.Since(began) > slow {
			return nc, err
		}
	}
}

// asUser adds who connects, by a file, to the options; nobody named is oneself.
func asUser(file string, opts []nats.Option) (name string, _ []nats.Option, err error) {
	if file == "" {
		return ownName(), opts, nil
	}
	name, password, err := readUser(file)
	return name, append(opts, nats.UserInfo(name, password)), err
}

func opened(ctx context.Context, nc *nats.Conn, user string) (*Line, error) {
	// A cluster that lost a broker chooses its leaders anew and copies what the
	// other one missed, which takes a busy machine a while.
	ctx, stop := context.WithTimeout(ctx, 2*time.Minute)
	defer stop()
	l, err := open(ctx, nc, user)
	if err != nil {
		nc.Close()
		return nil, err
	}
	return l, nil
}

// ownName is whose work it is where no user is named.
func ownName() string {
	if u, err := user.Current(); err == nil && u.Username != "" {
		return u.Username
	}
	return "somebody"
}

// credential reports whether a file is one that the system hands to this service
// alone. Its mode shows the mask of a list of who may, not others
// (systemd.exec(5), "CREDENTIALS"; acl(5)).
func credential(path string) bool {
	dir := os.Getenv("CREDENTIALS_DIRECTORY")
	return dir != "" && filepath.Dir(filepath.Clean(path)) == filepath.Clean(dir)
}

// readUser reads a file that only its owner should read.
func readUser(path string) (name, password string, err error) {
	info, err := os.Stat(path)
	if err != nil {
		return "", "", err
	}
	if info.Mode().Perm()&0o077 != 0 && os.PathSeparator == '/' && !credential(path) {
		return "", "", say.Refuse(say.Usage, "chmod 600 it", "others may read %s, which holds a password", path)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return "", "", err
	}
	name, password, ok := strings.Cut(strings.TrimSpace(string(data)), ":")
	if !ok || name == "" || password == "" || strings.ContainsAny(password, "\r\n") {
		return "", "", say.Refuse(say.BadFile, "write NAME:PASSWORD in one line", "%s names no user of a queue", path)
	}
	return name, password, nil
}
