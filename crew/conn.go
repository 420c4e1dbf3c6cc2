package crew

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Access says where a message server is and how to be let in. Files are as the server's own tools make them.
type Access struct {
	URL            string // such as nats://192.168.1.10:4222; several of a cluster with commas
	Creds          string // file of credentials
	User, Password string
	Token          string
	NKey           string // file of the seed of an nkey
	CA             string // file of the certificate that signed the server's
	Cert, Key      string // files of a certificate that shows who we are, and its key
	Wait           bool   // for a server that does not answer yet
}

// Conn is a connection with a message server. It connects again for ever when it is lost.
type Conn struct {
	nc    *nats.Conn
	js    jetstream.JetStream
	shown string // address, without passwords
	tell  func(words string)

	mu     sync.Mutex
	up     context.Context // ends when the connection is lost
	down   context.CancelFunc
	why    string        // as told last
	closed chan struct{} // closed when the connection is lost for good
}

// Connect connects with a message server. tell hears, in words, when the connection is lost and found; it may be nil.
func Connect(a Access, tell func(words string)) (*Conn, error) { return connect(a, tell, nil) }

// connect is Connect; inside, where it is not nil, is a server in this process.
func connect(a Access, tell func(words string), inside nats.InProcessConnProvider) (*Conn, error) {
	if a.URL == "" {
		return nil, errors.New("give the address of a message server, such as nats://192.168.1.10:4222")
	}
	if tell == nil {
		tell = func(string) {}
	}
	c := &Conn{shown: shown(a.URL), tell: tell, closed: make(chan struct{})}
	c.up, c.down = context.WithCancel(context.Background())
	opts, err := a.options()
	if err != nil {
		return nil, err
	}
	opts = append(opts,
		nats.Name("crankwright"),
		nats.MaxReconnects(-1),
		nats.ReconnectWait(250*time.Millisecond),
		nats.ReconnectJitter(250*time.Millisecond, 250*time.Millisecond),
		nats.ReconnectBufSize(-1), // what is sent while nobody listens fails, and is sent again
		nats.PingInterval(10*time.Second),
		nats.RetryOnFailedConnect(a.Wait),
		nats.DisconnectErrHandler(func(*nats.Conn, error) { c.lost() }),
		nats.ConnectHandler(func(*nats.Conn) { c.found() }),
		nats.ReconnectHandler(func(*nats.Conn) { c.found() }),
		nats.ReconnectErrHandler(func(_ *nats.Conn, err error) { c.still(err) }),
		nats.ClosedHandler(func(*nats.Conn) { close(c.closed) }),
		nats.ErrorHandler(func(*nats.Conn, *nats.Subscription, error) {}), // who asked is told
	)
	if inside != nil {
		opts = append(opts, nats.InProcessServer(inside))
	}
	if c.nc, err = nats.Connect(a.URL, opts...); err != nil {
		return nil, c.words(err)
	}
	if c.js, err = jetstream.New(c.nc); err != nil {
		c.nc.Close()
		return nil, err
	}
	if !c.nc.IsConnected() {
		return c, nil // why is told
	}
	if err := c.hasStore(); err != nil {
		c.nc.Close()
		return nil, err
	}
	return c, nil
}

// hasStore returns an error where the server keeps no queues for us.
func (c *Conn) hasStore() error {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	_, err := c.js.AccountInfo(ctx)
	if errors.Is(err, jetstream.ErrJetStreamNotEnabled) || errors.Is(err, jetstream.ErrJetStreamNotEnabledForAccount) {
		return fmt.Errorf("the message server at %s keeps no queues for us: it must be started with JetStream, and our account must be allowed to use it", c.shown)
	}
	return nil // other trouble is met, and told, where it matters
}

// options are those of the client library. The errors say which file or part of it is missing.
func (a Access) options() ([]nats.Option, error) {
	var opts []nats.Option
	for _, f := range []string{a.Creds, a.NKey, a.CA, a.Cert, a.Key} {
		if f == "" {
			continue
		}
		if _, err := os.Stat(f); err != nil {
			return nil, fmt.Errorf("the file %s cannot be read: %w", f, err)
		}
	}
	if a.Creds != "" {
		opts = append(opts, nats.UserCredentials(a.Creds))
	}
	if a.User != "" {
		opts = append(opts, nats.UserInfo(a.User, a.Password))
	}
	if a.Token != "" {
		opts = append(opts, nats.Token(a.Token))
	}
	if a.NKey != "" {
		o, err := nats.NkeyOptionFromSeed(a.NKey)
		if err != nil {
			return nil, fmt.Errorf("the file %s holds no seed of an nkey: %w", a.NKey, err)
		}
		opts = append(opts, o)
	}
	if a.CA != "" {
		opts = append(opts, nats.RootCAs(a.CA))
	}
	if (a.Cert == "") != (a.Key == "") {
		return nil, errors.New("a certificate and its key go together: one of them is missing")
	}
	if a.Cert != "" {
		opts = append(opts, nats.ClientCert(a.Cert, a.Key))
	}
	return opts, nil
}

// words says why there is no connection.
func (c *Conn) words(err error) error {
	var nobody *net.OpError
	var unknown x509.UnknownAuthorityError
	var name x509.HostnameError
	switch {
	case errors.Is(err, nats.ErrNoServers), errors.Is(err, nats.ErrTimeout), errors.As(err, &nobody) && nobody.Op == "dial":
		return fmt.Errorf("nobody answers at %s: is the message server running, and is the port open? (%w)", c.shown, err)
	case errors.Is(err, nats.ErrAuthorization), errors.Is(err, nats.ErrAuthExpired), errors.Is(err, nats.ErrAuthRevoked),
		errors.Is(err, nats.ErrAccountAuthExpired):
		return fmt.Errorf("the message server at %s does not let us in: the user, password, token, credentials or key are wrong or missing (%w)", c.shown, err)
	case errors.As(err, &unknown):
		return fmt.Errorf("the certificate of the message server at %s is signed by nobody whom this machine trusts: give the certificate of who signed it (%w)", c.shown, err)
	case errors.As(err, &name):
		return fmt.Errorf("the certificate of the message server is not for the name %s: %w", c.shown, err)
	case errors.Is(err, nats.ErrSecureConnWanted):
		return fmt.Errorf("the message server at %s does not encrypt, but a certificate was given for it (%w)", c.shown, err)
	}
	if errors.Is(err, nats.ErrTLS) || strings.Contains(err.Error(), "tls: ") {
		return fmt.Errorf("the message server at %s breaks encryption off: it may ask for a certificate that shows who we are (%w)", c.shown, err)
	}
	return fmt.Errorf("no connection with the message server at %s: %w", c.shown, err)
}

// shown leaves users and passwords out of addresses.
func shown(addresses string) string {
	list := strings.Split(addresses, ",")
	for i, a := range list {
		a = strings.TrimSpace(a)
		if u, err := url.Parse(a); err == nil && u.User != nil {
			u.User = nil
			a = u.String()
		}
		list[i] = a
	}
	return strings.Join(list, ", ")
}

// lost ends what waits for an answer.
func (c *Conn) lost() {
	c.mu.Lock()
	c.down()
	c.mu.Unlock()
	if !c.nc.IsClosed() {
		c.tell(fmt.Sprintf("lost the connection with %s: trying again", c.shown))
	}
}

// found tells of a connection that was lost, or was long in coming.
func (c *Conn) found() {
	c.mu.Lock()
	was := c.up.Err() != nil
	if was {
		c.up, c.down = context.WithCancel(context.Background())
	}
	was = was || c.why != ""
	c.why = ""
	c.mu.Unlock()
	if was {
		c.tell(fmt.Sprintf("connected with %s", c.shown))
	}
}

// still says why there is no connection yet, where that is not what was said last.
func (c *Conn) still(err error) {
	why := c.words(err).Error()
	c.mu.Lock()
	same := why == c.why
	c.why = why
	c.mu.Unlock()
	if !same {
		c.tell(why + "; trying again")
	}
}

// Close ends the connection.
func (c *Conn) Close() { c.nc.Close() }

// mostWait is how long one try at something may last.
const mostWait = time.Minute

// while returns a context that ends with ctx, and as soon as the connection is lost: nobody would answer any more.
func (c *Conn) while(ctx context.Context, most time.Duration) (context.Context, context.CancelFunc) {
	c.mu.Lock()
	up := c.up
	c.mu.Unlock()
	sub, cancel := context.WithTimeout(ctx, most)
	stop := context.AfterFunc(up, cancel)
	return sub, func() { stop(); cancel() }
}

// keep does something until the server answers it, whatever dies meanwhile; an answer may be an error. Otherwise its
// error says that ctx has ended or that the connection is lost for good.
func (c *Conn) keep(ctx context.Context, do func(context.Context) error) error {
	return c.keepFor(ctx, mostWait, do)
}

// keepFor is keep with a limit of its own for one try.
func (c *Conn) keepFor(ctx context.Context, most time.Duration, do func(context.Context) error) error {
	told := ""
	for wait := 20 * time.Millisecond; ; wait = min(2*wait, 2*time.Second) {
		sub, cancel := c.while(ctx, most)
		err := do(sub)
		cancel()
		switch {
		case err == nil:
			return nil
		case ctx.Err() != nil:
			return ctx.Err()
		case answer(err):
			return err
		}
		// while the server starts it does not find what it is about to read; that is worth words when it lasts
		if now := err.Error(); wait > 500*time.Millisecond && c.nc.IsConnected() && now != told {
			c.tell(fmt.Sprintf("the message server at %s does not do as asked: %v; trying again", c.shown, err))
			told = now
		}
		if err := c.pause(ctx, wait); err != nil {
			return err
		}
	}
}

// pause waits; its error says that ctx has ended or that the connection is lost for good.
func (c *Conn) pause(ctx context.Context, wait time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-c.closed:
		if err := c.nc.LastError(); err != nil {
			return c.words(err)
		}
		return nats.ErrConnectionClosed
	case <-time.After(wait):
		return nil
	}
}

// errNotWhole says that the server does not come up with all of an object, though it is there.
var errNotWhole = errors.New("the message server does not give all of an object")

// carry is how long a number of bytes may take on a slow line.
func carry(size uint64) time.Duration { return 5*time.Second + time.Duration(size/64)*time.Millisecond }

// get reads an object. The client library would go on waiting for the rest of one whose server has been killed.
func (c *Conn) get(ctx context.Context, objects jetstream.ObjectStore, name string) ([]byte, error) {
	sub, cancel := c.while(ctx, mostWait)
	defer cancel()
	info, err := objects.GetInfo(sub, name)
	if err != nil {
		return nil, err
	}
	sub, stop := c.while(ctx, carry(info.Size))
	defer stop()
	type read struct {
		data []byte
		err  error
	}
	end := make(chan read, 1)
	go func() {
		data, err := objects.GetBytes(sub, name)
		end <- read{data, err}
	}()
	var r read
	select {
	case r = <-end:
	case <-sub.Done():
		r.err = sub.Err()
	}
	if r.err != nil && errors.Is(sub.Err(), context.DeadlineExceeded) && ctx.Err() == nil {
		return nil, errNotWhole
	}
	return r.data, r.err
}

// answer tells the errors that are answers from those that say that nobody answers.
func answer(err error) bool {
	if errors.Is(err, jetstream.ErrObjectNotFound) || errors.Is(err, jetstream.ErrDigestMismatch) ||
		errors.Is(err, jetstream.ErrBucketNotFound) || errors.Is(err, errNotWhole) {
		return true
	}
	var api *jetstream.APIError
	return errors.As(err, &api) && api.Code >= 400 && api.Code < 500
}
