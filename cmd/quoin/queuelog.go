package main

import (
	"context"
	"fmt"
	"log/slog"
	"strings"
)

// newLog returns the log of a service: lines of text or of JSON on the error
// stream, each with its time.
func newLog(io streams, json bool) *slog.Logger {
	level := slog.LevelInfo
	switch {
	case io.quiet:
		level = slog.LevelError
	case io.verbose:
		level = slog.LevelDebug
	}
	o := &slog.HandlerOptions{Level: level}
	if json {
		return slog.New(slog.NewJSONHandler(io.err, o))
	}
	return slog.New(slog.NewTextHandler(io.err, o))
}

// plainLog tells what a log says the way that a verb tells things.
type plainLog struct {
	io   streams
	with []slog.Attr
}

func newPlainLog(io streams) *plainLog { return &plainLog{io: io} }

// Enabled reports whether somebody reads it.
func (p *plainLog) Enabled(_ context.Context, l slog.Level) bool {
	return l >= slog.LevelWarn && !p.io.quiet || p.io.verbose
}

// Handle tells it.
func (p *plainLog) Handle(_ context.Context, r slog.Record) error {
	var b strings.Builder
	b.WriteString(r.Message)
	add := func(a slog.Attr) bool {
		fmt.Fprintf(&b, "; %s: %v", a.Key, a.Value)
		return true
	}
	for _, a := range p.with {
		add(a)
	}
	r.Attrs(add)
	if r.Level >= slog.LevelWarn {
		p.io.warn("%s", b.String())
	} else {
		p.io.step(b.String())
	}
	return nil
}

// WithAttrs adds to what is told.
func (p *plainLog) WithAttrs(list []slog.Attr) slog.Handler {
	return &plainLog{p.io, append(p.with[:len(p.with):len(p.with)], list...)}
}

// WithGroup has no groups.
func (p *plainLog) WithGroup(string) slog.Handler { return p }
