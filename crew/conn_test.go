package crew_test

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	natsserver "github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nkeys"

	"crankwright/crew"
)

// host starts a server in this process, for one test.
func host(t *testing.T, opt crew.HostOptions) *crew.Server {
	t.Helper()
	opt.StoreDir = t.TempDir()
	s, err := crew.Host(opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return s
}

// enter returns whether a server lets somebody in, and why not.
func enter(t *testing.T, a crew.Access) error {
	t.Helper()
	c, err := crew.Connect(a, nil)
	if err == nil {
		c.Close()
	}
	return err
}

func refuses(t *testing.T, err error, words string) {
	t.Helper()
	if err == nil || !strings.Contains(err.Error(), words) {
		t.Errorf("%v; wanted: %s", err, words)
	}
}

func TestServerIsNotOpenToTheNetwork(t *testing.T) {
	for _, address := range []string{"0.0.0.0:0", ":0", "[::]:0", "192.0.2.1:4222", "pilot-boat:4222"} {
		_, err := crew.Host(crew.HostOptions{Address: address, StoreDir: t.TempDir()})
		if !errors.Is(err, crew.ErrOpen) {
			t.Errorf("%s: %v; wanted: %v", address, err, crew.ErrOpen)
		}
	}
	s := host(t, crew.HostOptions{Address: "0.0.0.0:0", User: "harbour", Password: "tide"})
	name, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(s.URL(), "nats://"+name+":") {
		t.Errorf("others are told to connect to %s, which is not this machine, %s", s.URL(), name)
	}
	here := strings.Replace(s.URL(), name, "127.0.0.1", 1)
	if err := enter(t, crew.Access{URL: here, User: "harbour", Password: "tide"}); err != nil {
		t.Error(err)
	}
}

func TestHostRefusesWhatCannotBe(t *testing.T) {
	taken := host(t, crew.HostOptions{})
	dir := t.TempDir()
	for words, opt := range map[string]crew.HostOptions{
		"needs a folder":         {},
		"not both":               {StoreDir: dir, User: "a", Password: "b", Token: "c"},
		"password go together":   {StoreDir: dir, User: "a"},
		"its key go together":    {StoreDir: dir, Cert: "a.pem"},
		"write host:port":        {StoreDir: dir, Address: "127.0.0.1"},
		"from 0 to 65535":        {StoreDir: dir, Address: "127.0.0.1:70000"},
		"cannot be used":         {StoreDir: dir, Cert: "no.pem", Key: "no.key"},
		"address already in use": {StoreDir: dir, Address: strings.TrimPrefix(taken.URL(), "nats://")},
	} {
		_, err := crew.Host(opt)
		refuses(t, err, words)
	}
}

func TestConnectSaysWhyNot(t *testing.T) {
	refuses(t, enter(t, crew.Access{}), "give the address")
	refuses(t, enter(t, crew.Access{URL: "nats://" + freeAddress(t)}), "nobody answers at nats://127.0.0.1")
	refuses(t, enter(t, crew.Access{URL: "nats://localhost:4222", Creds: "missing.creds"}), "missing.creds cannot be read")
	refuses(t, enter(t, crew.Access{URL: "nats://localhost:4222", NKey: "conn_test.go"}), "no seed of an nkey")

	user := host(t, crew.HostOptions{User: "harbour", Password: "tide"}).URL()
	refuses(t, enter(t, crew.Access{URL: user, User: "harbour", Password: "ebb"}), "does not let us in")
	refuses(t, enter(t, crew.Access{URL: user}), "does not let us in")
	err := enter(t, crew.Access{URL: strings.Replace(user, "//", "//harbour:ebb@", 1)})
	refuses(t, err, "does not let us in")
	if strings.Contains(err.Error(), "ebb") {
		t.Errorf("shows a password: %v", err)
	}
	if err := enter(t, crew.Access{URL: user, User: "harbour", Password: "tide"}); err != nil {
		t.Error(err)
	}
	token := host(t, crew.HostOptions{Token: "lock gate"}).URL()
	refuses(t, enter(t, crew.Access{URL: token, Token: "lock"}), "does not let us in")
	if err := enter(t, crew.Access{URL: token, Token: "lock gate"}); err != nil {
		t.Error(err)
	}
}

func TestEncryption(t *testing.T) {
	cert, key := certificate(t)
	s := host(t, crew.HostOptions{Token: "lock gate", Cert: cert, Key: key})
	refuses(t, enter(t, crew.Access{URL: s.URL(), Token: "lock gate"}), "signed by nobody whom this machine trusts")
	if err := enter(t, crew.Access{URL: s.URL(), Token: "lock gate", CA: cert}); err != nil {
		t.Error(err)
	}
	plain := host(t, crew.HostOptions{}).URL()
	refuses(t, enter(t, crew.Access{URL: plain, CA: cert}), "does not encrypt")
	own, err := s.Connect(nil)
	if err != nil {
		t.Fatalf("its own process: %v", err)
	}
	own.Close()
}

// TestExternalServer works through a server that is not ours: it asks for a key and a certificate, and gives only the rights
// that docs/many-machines.md names.
func TestExternalServer(t *testing.T) {
	t.Parallel()
	pair, err := nkeys.CreateUser()
	if err != nil {
		t.Fatal(err)
	}
	public, err := pair.PublicKey()
	if err != nil {
		t.Fatal(err)
	}
	seed, err := pair.Seed()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "seed")
	if err := os.WriteFile(file, seed, 0o600); err != nil {
		t.Fatal(err)
	}
	cert, key := certificate(t)
	loaded, err := tls.LoadX509KeyPair(cert, key)
	if err != nil {
		t.Fatal(err)
	}
	pem, err := os.ReadFile(cert)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AppendCertsFromPEM(pem)
	rights := rightsOfTheGuide(t)
	s, err := natsserver.NewServer(&natsserver.Options{
		Host: "127.0.0.1", Port: natsserver.RANDOM_PORT, JetStream: true, StoreDir: t.TempDir(), NoLog: true, NoSigs: true,
		TLS: true, TLSVerify: true,
		TLSConfig: &tls.Config{Certificates: []tls.Certificate{loaded}, ClientCAs: pool, ClientAuth: tls.RequireAndVerifyClientCert, MinVersion: tls.VersionTLS12},
		Nkeys: []*natsserver.NkeyUser{{Nkey: public, Permissions: &natsserver.Permissions{
			Publish: &natsserver.SubjectPermission{Allow: rights}, Subscribe: &natsserver.SubjectPermission{Allow: rights},
		}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	s.Start()
	defer s.Shutdown()
	if !s.ReadyForConnections(10 * time.Second) {
		t.Fatal("the server does not start")
	}
	good := crew.Access{URL: s.ClientURL(), NKey: file, CA: cert, Cert: cert, Key: key}
	bare := good
	bare.Cert, bare.Key = "", ""
	refuses(t, enter(t, bare), "may ask for a certificate that shows who we are")
	bare = good
	bare.NKey = ""
	refuses(t, enter(t, bare), "does not let us in")

	const text = "600 12 1 0"
	dir := t.TempDir()
	c, err := crew.Connect(good, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 40*time.Second)
	defer cancel()
	seen := make(chan crew.Progress, 100)
	go func() { _ = crew.Watch(ctx, c, func(p crew.Progress) { seen <- p }) }()
	go func() { _ = crew.Work(ctx, c, open, crew.WorkOptions{Version: version, Once: true}) }()
	if err := crew.Lead(ctx, c, folder(t, dir, text), crew.LeadOptions{Version: version}); err != nil {
		t.Fatal(err)
	}
	same(t, files(t, dir), alone(t, text))
	until(t, "a watcher hears the end", func() bool {
		select {
		case p := <-seen:
			return p.State == crew.Done
		default:
			return false
		}
	})
}

// rightsOfTheGuide reads the subjects that docs/many-machines.md says are needed.
func rightsOfTheGuide(t *testing.T) []string {
	t.Helper()
	guide, err := os.ReadFile("../docs/many-machines.md")
	if err != nil {
		t.Fatal(err)
	}
	_, after, _ := strings.Cut(string(guide), "the rights to publish and subscribe")
	sentence, _, _ := strings.Cut(after, ". A study")
	var all []string
	for i, part := range strings.Split(sentence, "`") {
		if i%2 == 1 {
			all = append(all, part)
		}
	}
	if len(all) < 4 {
		t.Fatalf("the guide names only %v", all)
	}
	return all
}

// certificate makes a certificate that signs itself, for this machine.
func certificate(t *testing.T) (cert, key string) {
	t.Helper()
	secret, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "pilot boat"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
		DNSNames: []string{"localhost"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
	}
	der, err := x509.CreateCertificate(rand.Reader, c, c, &secret.PublicKey, secret)
	if err != nil {
		t.Fatal(err)
	}
	private, err := x509.MarshalPKCS8PrivateKey(secret)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	for file, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: private}} {
		if err := os.WriteFile(file, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key
}

// TestWaits connects before there is a server, and is told of it.
func TestWaits(t *testing.T) {
	t.Parallel()
	address := freeAddress(t)
	said := make(chan string, 100)
	c, err := crew.Connect(crew.Access{URL: "nats://" + address, Wait: true}, func(w string) { said <- w })
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	refuses(t, errors.New(<-said), "nobody answers")
	host(t, crew.HostOptions{Address: address})
	ctx, cancel := context.WithCancel(t.Context())
	go func() {
		time.Sleep(time.Second)
		cancel()
	}()
	if err := crew.Work(ctx, c, open, crew.WorkOptions{Version: version, Tell: func(w string) { said <- w }}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	refuses(t, errors.New(<-said), "connected with")
	refuses(t, errors.New(<-said), "waiting for a study")
}
