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

// queueSuffix ends the names of folders of queues, beside the results.
const queueSuffix = ".queue"

// lead has workers do what a folder of results lacks.
func (a *app) lead(ctx context.Context, f *results.Folder, o *studyFlags, tell func(results.Progress)) (err error) {
	var c *crew.Conn
	queue := strings.TrimSuffix(f.Dir(), resultsSuffix) + queueSuffix
	if o.at != "" {
		access, err := o.letIn.access(o.at, false)
		if err != nil {
			return err
		}
		if c, err = crew.Connect(access, a.crewSays(o.quiet)); err != nil {
			return err
		}
	} else {
		access, err := o.letIn.access("", false)
		if err != nil {
			return err
		}
		if o.creds != "" || o.nkey != "" || o.ca != "" {
			return usagef("--creds, --nkey and --ca are for an external message server, with --at")
		}
		host, err := crew.Host(crew.HostOptions{
			Address: o.share, StoreDir: queue, User: access.User, Password: access.Password, Token: access.Token, Cert: access.Cert, Key: access.Key,
		})
		if err != nil {
			if errors.Is(err, crew.ErrOpen) {
				return usagef("--share: %w; give --token-file", err)
			}
			return fmt.Errorf("--share: %w", err)
		}
		defer func() {
			host.Close()
			if err == nil { // it is empty
				err = os.RemoveAll(queue)
			}
		}()
		a.note("leads; start workers with 'crankwright study worker %s', here and on other machines", o.reached(host.URL()))
		if c, err = host.Connect(a.crewSays(o.quiet)); err != nil {
			return err
		}
		if o.processors > 0 {
			own, err := host.Connect(nil)
			if err != nil {
				return err
			}
			sub, stop := context.WithCancel(ctx)
			var group sync.WaitGroup
			defer func() { stop(); group.Wait(); own.Close() }()
			group.Go(func() {
				_ = crew.Work(sub, own, openBundle, crew.WorkOptions{Version: version(), Processors: o.processors, Name: "the leader"})
			})
		}
	}
	defer c.Close()
	return crew.Lead(ctx, c, f, crew.LeadOptions{Version: version(), Tell: tell})
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
			access, err := o.access(args[0], true)
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
			opt.Version, opt.Tell = version(), a.crewSays(false)
			err = crew.Work(ctx, c, openBundle, opt)
			if ctx.Err() != nil {
				return nil // told to stop, it has done so
			}
			return err
		}),
	}
	o.flags(c)
	f := c.Flags()
	f.IntVar(&opt.Processors, "processors", 0, "how many processors work (default: all)")
	f.StringVar(&opt.Name, "name", "", "as others see it (default: the machine and the process)")
	f.BoolVar(&opt.Once, "once", false, "end when a study has been done, instead of waiting for the next")
	return c
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
			access, err := o.access(args[0], true)
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
			var broken error
			err = crew.Watch(ctx, c, func(p crew.Progress) {
				if broken == nil {
					if broken = a.watched(p, asJSON); broken != nil {
						stop()
					}
				}
			})
			switch {
			case broken != nil:
				return broken
			case ctx.Err() != nil:
				return nil
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
