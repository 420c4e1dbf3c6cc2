package crew

import (
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"strconv"
	"time"

	natsserver "github.com/nats-io/nats-server/v2/server"
)

// HostOptions say where a message server listens and whom it lets in.
type HostOptions struct {
	Address        string // host:port; empty: this machine only, at a free port; port 0: a free port
	StoreDir       string // folder of the queue; a server that is started again with the same folder goes on
	User, Password string // whom it lets in; empty: everybody, on this machine only
	Token          string // instead of user and password
	Cert, Key      string // files of a certificate and its key: encrypts every connection
}

// Server is a message server in this process.
type Server struct {
	server *natsserver.Server
	opt    HostOptions
}

// ErrOpen is returned where a server would let everybody in from anywhere.
var ErrOpen = errors.New("a server that other machines can reach needs a user with a password, or a token: without one, " +
	"everybody in the network could send it work and results")

// Host starts a message server in this process.
func Host(opt HostOptions) (*Server, error) {
	host, port, err := splitAddress(opt.Address)
	if err != nil {
		return nil, err
	}
	switch {
	case opt.StoreDir == "":
		return nil, errors.New("the message server needs a folder for its queue")
	case opt.Token != "" && opt.User != "":
		return nil, errors.New("give a user with a password or a token, not both")
	case (opt.User == "") != (opt.Password == ""):
		return nil, errors.New("user and password go together: one of them is missing")
	case (opt.Cert == "") != (opt.Key == ""):
		return nil, errors.New("a certificate and its key go together: one of them is missing")
	case opt.Token == "" && opt.User == "" && !loopback(host):
		return nil, fmt.Errorf("%s: %w", net.JoinHostPort(host, strconv.Itoa(port)), ErrOpen)
	}
	set := &natsserver.Options{
		ServerName: "crankwright",
		Host:       host, Port: port,
		Username: opt.User, Password: opt.Password, Authorization: opt.Token,
		JetStream: true, StoreDir: opt.StoreDir,
		NoLog: true, NoSigs: true,
	}
	if port == 0 {
		set.Port = natsserver.RANDOM_PORT
	}
	if opt.Cert != "" {
		pair, err := tls.LoadX509KeyPair(opt.Cert, opt.Key)
		if err != nil {
			return nil, fmt.Errorf("the certificate %s with the key %s cannot be used: %w", opt.Cert, opt.Key, err)
		}
		set.TLS = true
		set.TLSConfig = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
	}
	if err := free(host, port); err != nil {
		return nil, err
	}
	s, err := natsserver.NewServer(set)
	if err != nil {
		return nil, fmt.Errorf("the message server does not start: %w", err)
	}
	s.Start()
	if !s.ReadyForConnections(30 * time.Second) {
		s.Shutdown()
		return nil, fmt.Errorf("the message server at %s does not start: look at the folder %s", net.JoinHostPort(host, strconv.Itoa(port)), opt.StoreDir)
	}
	return &Server{server: s, opt: opt}, nil
}

// free says in words that an address cannot be listened at: the server itself would only not become ready.
func free(host string, port int) error {
	l, err := net.Listen("tcp", net.JoinHostPort(host, strconv.Itoa(port)))
	if err != nil {
		return fmt.Errorf("the message server cannot listen at %s: %w", net.JoinHostPort(host, strconv.Itoa(port)), err)
	}
	return l.Close()
}

// splitAddress reads host:port; empty is this machine and a free port, no host is every address of the machine.
func splitAddress(address string) (host string, port int, err error) {
	if address == "" {
		return "127.0.0.1", 0, nil
	}
	host, text, err := net.SplitHostPort(address)
	if err != nil {
		return "", 0, fmt.Errorf("%q is no address to listen at: write host:port, such as 192.168.1.10:4222", address)
	}
	port, err = strconv.Atoi(text)
	if err != nil || port < 0 || port > 65535 {
		return "", 0, fmt.Errorf("%q is no port: write a number from 0 to 65535, such as 4222", text)
	}
	if host == "" {
		host = "0.0.0.0"
	}
	return host, port, nil
}

// loopback tells whether a host can be reached from this machine only.
func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// URL returns what others connect to.
func (s *Server) URL() string {
	u, err := url.Parse(s.server.ClientURL())
	if err != nil {
		return s.server.ClientURL()
	}
	if ip := net.ParseIP(u.Hostname()); ip.IsUnspecified() {
		if name, err := os.Hostname(); err == nil {
			u.Host = net.JoinHostPort(name, u.Port())
		}
	}
	return u.String()
}

// Connect connects this process with its own server. The connection is closed before the server.
func (s *Server) Connect(tell func(words string)) (*Conn, error) {
	url := "nats://" + s.server.Addr().String() // inside a process nothing is encrypted
	return connect(Access{URL: url, User: s.opt.User, Password: s.opt.Password, Token: s.opt.Token}, tell, s.server)
}

// Close ends the server; its queue stays in its folder.
func (s *Server) Close() {
	s.server.Shutdown()
	s.server.WaitForShutdown()
}
