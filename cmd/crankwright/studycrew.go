package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"sync"
	"syscall"

	"crankwright/crew"
	"crankwright/report"
	"crankwright/results"
	"crankwright/search"
	"crankwright/spec"
	"crankwright/study"

	"github.com/spf13/cobra"
)

// letIn are the flags with which a message server lets somebody in.
type letIn struct {
	tokenFile, user, passwordFile string
	creds, nkey, ca, cert, key    string
}

func (o *letIn) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.tokenFile, "token-file", "", "file with the word that all know")
	f.StringVar(&o.user, "user", "", "name by which the message server lets in")
	f.StringVar(&o.passwordFile, "password-file", "", "file with the password of --user")
	f.StringVar(&o.creds, "creds", "", "file of credentials, of a message server with accounts")
	f.StringVar(&o.nkey, "nkey", "", "file with the seed of a key")
	f.StringVar(&o.ca, "ca", "", "certificate that signed the message server's")
	f.StringVar(&o.cert, "cert", "", "certificate: our own, or with --share that of the message server")
	f.StringVar(&o.key, "key", "", "key of --cert")
}

// word reads a file that holds one word.
func word(file string) (string, error) {
	if file == "" {
		return "", nil
	}
	data, err := spec.ReadWhole(file)
	if err != nil {
		return "", inputError{err}
	}
	text := strings.TrimSpace(string(data))
	if text == "" {
		return "", inputError{fmt.Errorf("%s: there is no word in this file", file)}
	}
	return text, nil
}

// access reads the flags.
func (o *letIn) access(url string, wait bool) (crew.Access, error) {
	token, err := word(o.tokenFile)
	if err != nil {
		return crew.Access{}, err
	}
	password, err := word(o.passwordFile)
	if err != nil {
		return crew.Access{}, err
	}
	if (o.user == "") != (password == "") {
		return crew.Access{}, usagef("--user and --password-file go together")
	}
	return crew.Access{
		URL: url, Creds: o.creds, User: o.user, Password: password, Token: token, NKey: o.nkey,
		CA: o.ca, Cert: o.cert, Key: o.key, Wait: wait,
	}, nil
}

// meetAt are the flags that say at which message server leader and workers meet: an external one, or the address of our own.
type meetAt struct {
	letIn
	at, share string
}

func (o *meetAt) flags(c *cobra.Command, lead string) {
	f := c.Flags()
	f.StringVar(&o.share, "share", "", lead+": listen for workers at this address, such as 0.0.0.0:4222")
	f.StringVar(&o.at, "at", "", lead+" by an external message server, such as nats://queue.example:4222")
	o.letIn.flags(c)
}

// given reports whether others are to work too.
func (o *meetAt) given() bool { return o.at != "" || o.share != "" }

func (o *meetAt) check() error {
	switch {
	case o.at != "" && o.share != "":
		return usagef("--at and --share exclude each other")
	case !o.given() && o.letIn != (letIn{}):
		return usagef("who is let in matters with --at or --share only")
	}
	return nil
}

// queueSuffix ends the names of folders of queues, beside the results.
const queueSuffix = ".queue"

// meeting is a message server at which a leader meets workers.
type meeting struct {
	host *crew.Server // nil: an external one
	at   crew.Access
	says func(string)
	hint string // how a worker is started
}

// meet starts a message server of our own, with its queue in a folder, or finds the external one.
func (a *app) meet(o *meetAt, queue string, quiet bool) (*meeting, error) {
	access, err := o.access(o.at, false)
	if err != nil {
		return nil, err
	}
	m := &meeting{at: access, says: a.crewSays(quiet)}
	url := o.at
	if o.share != "" {
		if o.creds != "" || o.nkey != "" || o.ca != "" {
			return nil, usagef("--creds, --nkey and --ca are for an external message server, with --at")
		}
		m.host, err = crew.Host(crew.HostOptions{
			Address: o.share, StoreDir: queue, User: access.User, Password: access.Password, Token: access.Token, Cert: access.Cert, Key: access.Key,
		})
		switch {
		case errors.Is(err, crew.ErrOpen):
			return nil, usagef("--share: %w; give --token-file", err)
		case err != nil:
			return nil, fmt.Errorf("--share: %w", err)
		}
		url = m.host.URL()
	}
	m.hint = "crankwright study worker " + o.reached(url)
	return m, nil
}

func (m *meeting) connect(says func(string)) (*crew.Conn, error) {
	if m.host != nil {
		return m.host.Connect(says)
	}
	return crew.Connect(m.at, says)
}

// lead has workers do what a folder of results lacks.
func (m *meeting) lead(ctx context.Context, f *results.Folder, tell func(results.Progress)) error {
	c, err := m.connect(m.says)
	if err != nil {
		return err
	}
	defer c.Close()
	return crew.Lead(ctx, c, f, crew.LeadOptions{Version: version(), Tell: tell})
}

// work has this process work too, until end is called.
func (m *meeting) work(ctx context.Context, processors int, name string) (end func(), err error) {
	c, err := m.connect(nil)
	if err != nil {
		return nil, err
	}
	ctx, stop := context.WithCancel(ctx)
	var group sync.WaitGroup
	group.Go(func() {
		_ = crew.Work(ctx, c, openBundle, crew.WorkOptions{Version: version(), Processors: processors, Name: name})
	})
	return func() { stop(); group.Wait(); c.Close() }, nil
}

// close ends a message server of our own; its queue stays.
func (m *meeting) close() {
	if m.host != nil {
		m.host.Close()
	}
}

// lead has workers do what a folder of results lacks, by a message server for this study.
func (a *app) lead(ctx context.Context, f *results.Folder, o *studyFlags, tell func(results.Progress)) (err error) {
	queue := strings.TrimSuffix(f.Dir(), results.Suffix) + queueSuffix
	m, err := a.meet(&o.meetAt, queue, o.quiet)
	if err != nil {
		return err
	}
	defer func() {
		m.close()
		if err == nil && m.host != nil { // it is empty
			err = os.RemoveAll(queue)
		}
	}()
	if m.host != nil {
		a.note("leads; start workers with '%s', here and on other machines", m.hint)
		if o.processors > 0 {
			end, err := m.work(ctx, o.processors, "the leader")
			if err != nil {
				return err
			}
			defer end()
		}
	}
	return m.lead(ctx, f, tell)
}

// reached is how workers on other machines reach a message server that listens everywhere, and are let in.
func (o *letIn) reached(url string) string {
	if name, err := os.Hostname(); err == nil {
		url = strings.Replace(url, "//0.0.0.0:", "//"+name+":", 1)
	}
	for _, f := range []struct{ flag, value string }{{"token-file", o.tokenFile}, {"user", o.user}, {"password-file", o.passwordFile}} {
		if f.value != "" {
			url += " --" + f.flag + " " + f.value
		}
	}
	if o.cert != "" {
		url += " --ca " + o.cert
	}
	return url
}

// crewSays writes what happens to a connection to standard error.
func (a *app) crewSays(quiet bool) func(string) {
	if quiet {
		return nil
	}
	return func(words string) { a.note("%s", words) }
}

func openBundle(b study.Bundle) (study.Problem, error) { return search.Open(b) }

func oneServer(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("give the address of a message server, such as nats://192.168.1.10:4222; there are %d", len(args))
	}
	return nil
}

func (a *app) studyWorkerVerb() *cobra.Command {
	var o letIn
	var opt crew.WorkOptions
	c := &cobra.Command{
		Use:   "worker URL",
		Short: "work on the studies that others lead",
		Long: `Worker waits at a message server for studies and works on them, one after the other, until it is told to stop. It
needs neither the study nor the engine: it is sent both. It must be the same version of the program as the leader.
What it has begun when it is told to stop, or dies, others do again. docs/many-machines.md says more.`,
		Example: `  crankwright study worker nats://192.168.1.10:4222 --token-file token
  crankwright study worker tls://queue.example:4222 --creds pilot.creds --processors 8 --once`,
		Args: oneServer,
		RunE: a.verb(func(args []string) error {
			if opt.Processors < 0 {
				return usagef("--processors: %d; give 1 or more", opt.Processors)
			}
			opt.Version, opt.Tell = version(), a.crewSays(false)
			return a.atServer(&o, args[0], func(ctx context.Context, c *crew.Conn) error {
				return crew.Work(ctx, c, openBundle, opt)
			})
		}),
	}
	o.flags(c)
	f := c.Flags()
	f.IntVar(&opt.Processors, "processors", 0, "how many processors work (default: all)")
	f.StringVar(&opt.Name, "name", "", "as others see it (default: the machine and the process)")
	f.BoolVar(&opt.Once, "once", false, "end when a study has been done, instead of waiting for the next")
	return c
}

// atServer connects to a message server, waits for it where it is not there yet, and does something there until told to stop.
func (a *app) atServer(o *letIn, url string, do func(context.Context, *crew.Conn) error) error {
	access, err := o.access(url, true)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	c, err := crew.Connect(access, a.crewSays(false))
	if err != nil {
		return err
	}
	defer c.Close()
	if err := do(ctx, c); ctx.Err() == nil {
		return err
	}
	return nil // told to stop, it has done so
}

func (a *app) studyWatchVerb() *cobra.Command {
	var o letIn
	var asJSON bool
	c := &cobra.Command{
		Use:   "watch URL",
		Short: "watch the studies that others lead",
		Long: `Watch says where every study of a message server stands, and again whenever that changes, a line each, until it is
told to stop. With --json each line is an object.`,
		Example: `  crankwright study watch nats://192.168.1.10:4222 --token-file token`,
		Args:    oneServer,
		RunE: a.verb(func(args []string) error {
			var broken error
			err := a.atServer(&o, args[0], func(ctx context.Context, c *crew.Conn) error {
				ctx, stop := context.WithCancel(ctx)
				defer stop()
				return crew.Watch(ctx, c, func(p crew.Progress) {
					if broken == nil {
						if broken = a.watched(p, asJSON); broken != nil {
							stop()
						}
					}
				})
			})
			if broken != nil {
				return broken
			}
			return err
		}),
	}
	o.flags(c)
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON, an object a line")
	return c
}

// watched writes where a study stands.
func (a *app) watched(p crew.Progress, asJSON bool) error {
	if asJSON {
		return a.jsonLine(p)
	}
	processors := 0 // at work
	for _, w := range p.Workers {
		processors += w.Processors
	}
	s := fmt.Sprintf("%s: %s; %d of %d candidates, front %d; %d at work", p.Study, p.State, p.Done, p.Total, p.Front, processors)
	if p.Rate > 0 {
		s += fmt.Sprintf("; %s/s", report.Rate(p.Rate))
	}
	if p.Left > 0 {
		s += "; " + report.Lasting(p.Left) + " left"
	}
	if p.Words != "" {
		s += "; " + p.Words
	}
	return a.text(s + "\n")
}
