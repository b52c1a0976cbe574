// Package broker runs the queue's engine, NATS JetStream, inside this process:
// alone on one machine, or as one of a cluster. It flushes every message to the
// disk before it says that it has it: by default it would do so every two minutes
// only, and lose what it had acknowledged when the power fails (jepsen.io,
// "NATS 2.12.1", 8 December 2025).
package broker

import (
	"cmp"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/nats-io/nats-server/v2/server"

	"quoin/impose/queue/task"
	"quoin/impose/say"
)

// Options say how a broker stands. The zero value with a Store is one that only
// this process reaches.
type Options struct {
	Store     string // folder
	MostBytes int64  // that the store may take; 0: as the disk has room

	Listen bool
	Host   string // "" is loopback
	Port   int    // 0: a free one

	// Certificate and Key are files in PEM; Authority is the one that the other
	// brokers' certificates are signed by.
	Certificate, Key, Authority string
	Users                       string // file of users, see ReadUsers

	// Cluster names the brokers that stand together; "" is one alone.
	Cluster     string
	Name        string // of this broker in the cluster
	ClusterHost string
	ClusterPort int
	Routes      []string // host:port of the others

	Log server.Logger // nil: nothing is told
}

// Broker is one that runs.
type Broker struct {
	server *server.Server
	secure bool
	store  *os.File // its lock
}

// secured reports whether strangers are kept out, and what they read is kept
// from others.
func (o *Options) secured() bool { return o.Certificate != "" && o.Key != "" && o.Users != "" }

// Check refuses a broker that others than this machine could reach unasked.
func (o *Options) Check() error {
	switch {
	case o.Store == "":
		return say.Refuse(say.Usage, "name a folder with --store DIR", "the queue has no store")
	case (o.Certificate == "") != (o.Key == ""):
		return say.Refuse(say.Usage, "give both --tls-cert and --tls-key", "a certificate and its key go together")
	case o.Listen && !loopback(o.Host) && !o.secured():
		return say.Refuse(say.Usage, "give --tls-cert, --tls-key and --users, or leave --host out",
			"%s is reached from other machines, and nothing says who may and keeps others from reading along", o.Host)
	case o.Cluster != "" && !loopback(o.ClusterHost) && (!o.secured() || o.Authority == ""):
		return say.Refuse(say.Usage, "give --tls-cert, --tls-key, --tls-ca and --users", "a cluster over machines needs TLS, with the authority that signs the brokers' certificates, and users")
	case o.Cluster != "" && o.Name == "":
		return say.Refuse(say.Usage, "say --name", "a broker in a cluster needs a name of its own")
	}
	return nil
}

// loopback reports whether only this machine reaches a host.
func loopback(host string) bool {
	if host == "" || host == "localhost" {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// Start begins a broker and waits until it is ready. Errors of the options are
// refusals of the kind Usage; one that wraps ErrHeld may be gone in a moment.
func Start(o Options) (_ *Broker, err error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	store, err := holdStore(o.Store)
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			store.Close()
		}
	}()
	opt, err := o.server()
	if err != nil {
		return nil, err
	}
	s, err := server.NewServer(opt)
	if err != nil {
		return nil, fmt.Errorf("the queue's broker: %w", err)
	}
	if o.Log != nil {
		s.SetLoggerV2(o.Log, false, false, false)
	}
	go s.Start()
	wait := 20 * time.Second
	if !s.ReadyForConnections(wait) {
		s.Shutdown()
		s.WaitForShutdown()
		return nil, say.Refuse(say.Failed, "see whether another queue uses the port: --port 0 takes a free one", "the queue's broker in %s did not start", o.Store)
	}
	return &Broker{s, opt.TLSConfig != nil, store}, nil
}

// server returns the engine's options.
func (o *Options) server() (*server.Options, error) {
	opt := &server.Options{
		ServerName: o.Name, StoreDir: filepath.Clean(o.Store), JetStream: true, JetStreamMaxStore: -1, JetStreamMaxMemory: 1 << 30, SyncAlways: true,
		NoSigs: true, NoLog: o.Log == nil, MaxPayload: 2 * task.MostBytes, MaxPending: 256 << 20, DontListen: !o.Listen,
		Host: o.Host, Port: o.Port, MaxControlLine: 16 << 10,
	}
	// On a busy machine a handshake and the proof of a password take seconds. Whoever
	// connects gives up before that and tries again; a broker that hung up first would
	// be taken for one that lets nobody in.
	opt.TLSTimeout, opt.AuthTimeout = 10, 20
	opt.Host = cmp.Or(opt.Host, "127.0.0.1")
	if o.Port == 0 {
		opt.Port = server.RANDOM_PORT
	}
	if o.MostBytes > 0 {
		opt.JetStreamMaxStore = o.MostBytes
	} else {
		opt.JetStreamMaxStore = roomFor(o.Store)
	}
	if o.Users != "" {
		users, err := ReadUsers(o.Users)
		if err != nil {
			return nil, err
		}
		opt.Users = users
	}
	if o.Certificate != "" {
		c, err := o.tls()
		if err != nil {
			return nil, err
		}
		opt.TLSConfig, opt.TLS = c, true
	}
	if o.Cluster == "" {
		return opt, nil
	}
	opt.Cluster = server.ClusterOpts{Name: o.Cluster, Host: o.ClusterHost, Port: o.ClusterPort}
	opt.Cluster.Host = cmp.Or(opt.Cluster.Host, "127.0.0.1")
	if opt.TLSConfig != nil && o.Authority != "" {
		c := opt.TLSConfig.Clone()
		c.ClientAuth, c.ClientCAs = tls.RequireAndVerifyClientCert, c.RootCAs
		opt.Cluster.TLSConfig, opt.Cluster.TLSTimeout = c, opt.TLSTimeout
	}
	for _, r := range o.Routes {
		if _, _, err := net.SplitHostPort(r); err != nil {
			return nil, say.Refuse(say.Usage, "write host:port", "%q is no address of a broker", r)
		}
		opt.Routes = append(opt.Routes, &url.URL{Scheme: "nats-route", Host: r})
	}
	return opt, nil
}

// tls reads the broker's certificate and the authority.
func (o *Options) tls() (*tls.Config, error) {
	pair, err := tls.LoadX509KeyPair(o.Certificate, o.Key)
	if err != nil {
		return nil, say.Refuse(say.Usage, "give a certificate and its key in PEM", "%s and %s: %v", o.Certificate, o.Key, err)
	}
	c := &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
	if o.Authority != "" {
		if c.RootCAs, err = Authority(o.Authority); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// Authority reads the certificates that others are signed by.
func Authority(path string) (*x509.CertPool, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	pool := x509.NewCertPool()
	if !pool.AppendCertsFromPEM(data) {
		return nil, say.Refuse(say.Usage, "name a file of certificates in PEM", "%s holds no certificate", path)
	}
	return pool, nil
}

// InProcessConn connects to the broker from its own process.
func (b *Broker) InProcessConn() (net.Conn, error) { return b.server.InProcessConn() }

// URL is where others reach the broker; "" where nobody can.
func (b *Broker) URL() string {
	addr, ok := b.server.Addr().(*net.TCPAddr)
	if !ok || addr == nil {
		return ""
	}
	scheme := "nats://"
	if b.secure {
		scheme = "tls://"
	}
	host := strings.Trim(addr.IP.String(), "[]")
	return scheme + net.JoinHostPort(host, strconv.Itoa(addr.Port))
}

// Broken reports why the broker keeps nothing any more; nil while it does. The
// engine gives its store up when the disk has no room left.
func (b *Broker) Broken() error {
	if b.server.JetStreamEnabled() || !b.server.Running() {
		return nil
	}
	return say.Refuse(say.Disk, "make room on its disk, or give --store-limit, and start this again: what is finished is kept", "the queue's store in %s can't be written any more: the disk is full", b.server.StoreDir())
}

// Close stops the broker; what it holds stays in the store.
func (b *Broker) Close() {
	b.server.Shutdown()
	b.server.WaitForShutdown()
	b.store.Close()
}

// errUsers says how a file of users reads.
var errUsers = errors.New("each line is NAME:HASH, the hash as quoin queue --add-user writes it")
