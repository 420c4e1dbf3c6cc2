package main

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"os/exec"
	"os/signal"
	"regexp"
	"runtime"
	"syscall"
	"time"

	"crankwright/server"
	"crankwright/web"

	"github.com/spf13/cobra"
)

const (
	usualAddr = "127.0.0.1:8377"
	goodbye   = 10 * time.Second // that running requests get to finish
)

// plainToken is a token that an address and a cookie hold as it is.
var plainToken = regexp.MustCompile(`^[A-Za-z0-9._~-]*$`)

func (a *app) serveVerb() *cobra.Command {
	var addr, token string
	var open, verbose bool
	var o meetAt
	c := &cobra.Command{
		Use:   "serve [FOLDER]",
		Short: "open the workbench on a folder of engine files",
		Long: `Serve opens the workbench in the browser: the engines of a folder side by side and in step, every input
editable. The folder (default: this one) holds plain *.engine.yaml files, and they are the truth: an edit in
the browser is saved there with its comments kept, and a change by another program shows at once.

It listens on this machine only. With --addr it can listen elsewhere; then a token is needed, which is part
of the address that it prints. Ctrl-C ends it; what is being saved is finished first.

With --share or --at it leads: searches of every candidate of a study go to workers on other machines too, as
docs/many-machines.md says.`,
		Example: `  crankwright serve examples
  crankwright serve --addr 127.0.0.1:9000 --open
  crankwright serve line-up --addr 0.0.0.0:8377
  crankwright serve boats --share 0.0.0.0:4222 --token-file token`,
		Args: cobra.MaximumNArgs(1),
		RunE: a.verb(func(args []string) error {
			folder := "."
			if len(args) > 0 {
				folder = args[0]
			}
			if err := o.check(); err != nil {
				return err
			}
			return a.serve(folder, addr, token, open, verbose, &o)
		}),
	}
	f := c.Flags()
	f.StringVar(&addr, "addr", usualAddr, "address to listen on")
	f.StringVar(&token, "token", "", "token that every request must show, of letters, digits and -._~ (default: none on loopback, a random one elsewhere)")
	f.BoolVar(&open, "open", false, "open the browser")
	f.BoolVar(&verbose, "verbose", false, "log what the server does")
	o.flags(c, "share searches with workers on many machines")
	return c
}

func (a *app) serve(folder, addr, token string, open, verbose bool, o *meetAt) (err error) {
	if !plainToken.MatchString(token) {
		return usagef("--token: %q has what a browser does not keep in a cookie; give letters (a to z), digits and -._~", token)
	}
	if err := usableFolder(folder); err != nil {
		return err
	}
	if _, _, err := net.SplitHostPort(addr); err != nil {
		return usagef("--addr: %q is no address; write host:port, such as %s", addr, usualAddr)
	}
	if token == "" && server.NeedsToken(addr) {
		var secret [24]byte
		_, _ = rand.Read(secret[:])
		token = base64.RawURLEncoding.EncodeToString(secret[:])
	}
	// The signals are taken before the address is printed: who reads it may end the server at once.
	ctx, done := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer done()
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", addr)
	if err != nil {
		return listenFailure(addr, err)
	}
	level := slog.LevelWarn
	if verbose {
		level = slog.LevelDebug
	}
	cfg := server.Config{
		Folder: folder, Addr: addr, Token: token, Front: web.Dist(), Version: version(),
		Log: slog.New(slog.NewTextHandler(a.err, &slog.HandlerOptions{Level: level})),
	}
	if o.given() {
		end, err := a.shareSearches(ctx, &cfg, o)
		if err != nil {
			return errors.Join(err, listener.Close())
		}
		defer func() { err = errors.Join(err, end()) }()
	}
	s, err := server.New(cfg)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	where := address(listener.Addr(), addr, token)
	a.note("The workbench on %s is at %s\nCtrl-C ends it.", folder, where)
	if cfg.Workers != "" {
		a.note("Searches are shared; start workers with '%s', here and on other machines.", cfg.Workers)
	}
	if open {
		if err := openBrowser(ctx, where); err != nil {
			a.note("The browser could not be opened (%v); open the address yourself.", err)
		}
	}
	return errors.Join(untilDone(ctx, s.HTTP(), listener), s.Close())
}

// shareSearches has workers on other machines share the searches of a workbench; this process works too. end is called when it is
// over.
func (a *app) shareSearches(ctx context.Context, cfg *server.Config, o *meetAt) (end func() error, err error) {
	queue, err := os.MkdirTemp("", "crankwright-*"+queueSuffix)
	if err != nil {
		return nil, err
	}
	m, err := a.meet(o, queue, false)
	if err != nil {
		return nil, errors.Join(err, os.Remove(queue))
	}
	stop, err := m.work(context.WithoutCancel(ctx), 0, "the workbench")
	if err != nil {
		m.close()
		return nil, errors.Join(err, os.RemoveAll(queue))
	}
	cfg.Lead, cfg.Workers = m.lead, m.hint
	return func() error { stop(); m.close(); return os.RemoveAll(queue) }, nil
}

// untilDone serves until the context ends, then lets running requests finish.
func untilDone(ctx context.Context, h *http.Server, listener net.Listener) error {
	failed := make(chan error, 1)
	go func() { failed <- h.Serve(listener) }()
	select {
	case err := <-failed:
		return fmt.Errorf("the server ended: %w", err)
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), goodbye)
	defer cancel()
	if err := h.Shutdown(last); err != nil {
		return errors.Join(fmt.Errorf("requests were cut off: %w", err), h.Close())
	}
	return nil
}

func usableFolder(folder string) error {
	info, err := os.Stat(folder)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return inputError{fmt.Errorf("%s: there is no such folder", folder)}
	case err != nil:
		return inputError{fmt.Errorf("%s: cannot be opened: %w", folder, errors.Unwrap(err))}
	case !info.IsDir():
		return inputError{fmt.Errorf("%s: is a file; give the folder that it is in", folder)}
	}
	return nil
}

func listenFailure(addr string, err error) error {
	if errors.Is(err, syscall.EADDRINUSE) {
		return fmt.Errorf("%s is taken, perhaps by another workbench; end that, or give another port with --addr", addr)
	}
	_, port, _ := net.SplitHostPort(addr)
	if _, unknown := net.LookupPort("tcp", port); unknown != nil {
		return usagef("--addr: %s: %q is no port; give a number from 0 to 65535, 0 for any that is free", addr, port)
	}
	return fmt.Errorf("cannot listen on %s: %w", addr, err)
}

// address is what to open in the browser. A server on all addresses is named by this machine's name.
func address(bound net.Addr, asked, token string) string {
	host, _, _ := net.SplitHostPort(asked)
	_, port, _ := net.SplitHostPort(bound.String())
	if ip, err := netip.ParseAddr(host); host == "" || err == nil && ip.IsUnspecified() {
		host = "localhost"
		if name, err := os.Hostname(); err == nil {
			host = name
		}
	}
	u := url.URL{Scheme: "http", Host: net.JoinHostPort(host, port), Path: "/"}
	if token != "" {
		u.RawQuery = url.Values{"token": {token}}.Encode()
	}
	return u.String()
}

func openBrowser(ctx context.Context, address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	cmd := exec.CommandContext(ctx, name, args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }()
	return nil
}
