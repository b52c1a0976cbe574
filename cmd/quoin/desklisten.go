package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"net"
	"os"
	"strconv"

	"quoin/impose/desk/safe"
)

// deskTLS names the files of an encrypted desk.
type deskTLS struct{ certificate, key, clients string }

// guarding refuses what would leave a desk open to others, and says who may come
// in.
func (f *deskFlags) guarding() (safe.Options, error) {
	var o safe.Options
	if f.port < 0 || f.port > 65535 {
		return o, usagef("--port %d is no port", "give a number from 0 to 65535", f.port)
	}
	o.TLS, o.Certified = f.tls.certificate != "", f.tls.clients != ""
	if f.listen != "" {
		o.Hosts = deskHosts(f.listen)
	}
	if f.password != "" {
		check, err := safe.Password(f.password)
		if err != nil {
			return o, err
		}
		o.Password = check
	}
	return o, nil
}

// deskHosts are the names that a desk answers to at an address: itself or, where
// it is every address, all of the machine's and its name.
func deskHosts(listen string) []string {
	if ip := net.ParseIP(listen); ip == nil || !ip.IsUnspecified() {
		return []string{listen}
	}
	var hosts []string
	addresses, _ := net.InterfaceAddrs()
	for _, a := range addresses {
		if n, ok := a.(*net.IPNet); ok {
			hosts = append(hosts, n.IP.String())
		}
	}
	if name, err := os.Hostname(); err == nil {
		hosts = append(hosts, name)
	}
	return hosts
}

// listener opens the port: of the loopback, unless another address is given.
func (f *deskFlags) listener(ctx context.Context) (net.Listener, error) {
	host := "127.0.0.1"
	if f.listen != "" {
		host = f.listen
	}
	l, err := new(net.ListenConfig).Listen(ctx, "tcp", net.JoinHostPort(host, strconv.Itoa(f.port)))
	if err != nil {
		return nil, usagef("the desk can't listen at %s port %d: %v", "give another --port, or 0 for any that is free", host, f.port, err)
	}
	if f.tls.certificate == "" {
		return l, nil
	}
	config, err := f.tls.config()
	if err != nil {
		l.Close()
		return nil, err
	}
	return deskListener{tls.NewListener(l, config), l.Addr()}, nil
}

// deskListener keeps the address of what is beneath TLS.
type deskListener struct {
	net.Listener
	addr net.Addr
}

func (l deskListener) Addr() net.Addr { return l.addr }

func (t deskTLS) config() (*tls.Config, error) {
	pair, err := tls.LoadX509KeyPair(t.certificate, t.key)
	if err != nil {
		return nil, usagef("the certificate can't be used: %v", "give PEM files that go together", err)
	}
	c := &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}}
	if t.clients == "" {
		return c, nil
	}
	text, err := os.ReadFile(t.clients)
	if err != nil {
		return nil, err
	}
	c.ClientCAs = x509.NewCertPool()
	if !c.ClientCAs.AppendCertsFromPEM(text) {
		return nil, usagef("%s holds no certificate", "give the authority's certificate as PEM", t.clients)
	}
	c.ClientAuth = tls.RequireAndVerifyClientCert
	return c, nil
}

// address is what to open.
func (f *deskFlags) address(l net.Listener, key string) string {
	scheme, host := "http", "127.0.0.1"
	if f.tls.certificate != "" {
		scheme = "https"
	}
	if f.listen != "" {
		if ip := net.ParseIP(f.listen); ip == nil || !ip.IsUnspecified() {
			host = f.listen
		}
	}
	port := strconv.Itoa(l.Addr().(*net.TCPAddr).Port)
	return scheme + "://" + net.JoinHostPort(host, port) + "/open?key=" + key
}
