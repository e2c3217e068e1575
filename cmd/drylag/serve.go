package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/netip"
	"time"

	"drylag/models/register"
	"drylag/server"
)

// serveCommand runs the service.
type serveCommand struct {
	folder
	Addr    string   `help:"Listen address." env:"DRYLAG_ADDR" default:"127.0.0.1:8080"`
	TLSCert string   `help:"Certificate file; a phone works offline only over TLS." env:"DRYLAG_TLS_CERT" type:"existingfile"`
	TLSKey  string   `help:"Key file of the certificate." env:"DRYLAG_TLS_KEY" type:"existingfile"`
	Proxy   []string `help:"Address or network of a proxy whose X-Forwarded-For is believed." env:"DRYLAG_PROXY"`
	Behind  bool     `help:"A proxy in front speaks TLS: cookies are marked secure." env:"DRYLAG_BEHIND_TLS"`
	LogJSON bool     `help:"Log as JSON lines." env:"DRYLAG_LOG_JSON"`
}

// Validate reports every bad pair of settings before a port opens.
func (c *serveCommand) Validate() error {
	var faults []error
	if (c.TLSCert == "") != (c.TLSKey == "") {
		faults = append(faults, errors.New("--tls-cert and --tls-key go together"))
	}
	if c.Addr != "" {
		if _, _, err := net.SplitHostPort(c.Addr); err != nil {
			faults = append(faults, fmt.Errorf("--addr %q is not host:port", c.Addr))
		}
	}
	for _, p := range c.Proxy {
		if _, err := netip.ParsePrefix(p); err != nil {
			if _, err := netip.ParseAddr(p); err != nil {
				faults = append(faults, fmt.Errorf("--proxy %q is neither an address nor a network", p))
			}
		}
	}
	return errors.Join(faults...)
}

// Run opens the record and serves it until told to stop.
func (c *serveCommand) Run(w world) error {
	log := newLog(w.err, c.LogJSON)
	h, err := openHouse(w.ctx, c.Dir, log)
	if err != nil {
		return err
	}
	defer h.close()
	secure := c.Behind || c.TLSCert != ""
	s, err := server.New(h.register, server.Config{Secure: secure, Proxies: c.Proxy, Log: log})
	if err != nil {
		return err
	}
	ln, err := c.listen()
	if err != nil {
		return err
	}
	scheme := "http"
	if c.TLSCert != "" {
		scheme = "https"
	}
	fmt.Fprintf(w.out, "drylag serves %s on %s://%s\n", c.Dir, scheme, ln.Addr())
	return keepAndServe(w.ctx, s, h.register, ln, log)
}

func (c *serveCommand) listen() (net.Listener, error) {
	ln, err := net.Listen("tcp", c.Addr)
	if err != nil || c.TLSCert == "" {
		return ln, err
	}
	if _, err := tls.LoadX509KeyPair(c.TLSCert, c.TLSKey); err != nil {
		return nil, errors.Join(fmt.Errorf("certificate %s: %w", c.TLSCert, err), ln.Close())
	}
	return tls.NewListener(ln, &tls.Config{MinVersion: tls.VersionTLS12, GetCertificate: c.certificate}), nil
}

// certificate reads the pair afresh, so that a renewed one is used at once.
func (c *serveCommand) certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	pair, err := tls.LoadX509KeyPair(c.TLSCert, c.TLSKey)
	return &pair, err
}

// keepAndServe serves while the keeper looks after the record, and waits for
// both.
func keepAndServe(ctx context.Context, s *server.Server, reg *register.Register, ln net.Listener, log *slog.Logger) error {
	ctx, stop := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		keep(ctx, reg, log)
	}()
	err := s.Serve(ctx, ln)
	stop()
	<-done
	return err
}

// keepEvery is how often the keeper looks for work.
const keepEvery = 10 * time.Minute

// keep works out scores that are pending or of an earlier day, and makes the
// nightly backup. What fails is logged and tried again the next time.
func keep(ctx context.Context, reg *register.Register, log *slog.Logger) {
	tick := time.NewTicker(keepEvery)
	defer tick.Stop()
	for {
		if err := reg.Keep(ctx); err != nil && ctx.Err() == nil {
			log.Error("keeping the record", "err", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		case <-reg.Wake():
		}
	}
}
