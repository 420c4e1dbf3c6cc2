package server

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/json"
	"fmt"
	"mime"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"runtime/debug"
	"strings"
)

// policy allows what the page brings with it and nothing else. Styles may stand in elements, because
// figures carry theirs; scripts may not.
const policy = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; " +
	"connect-src 'self'; worker-src 'self' blob:; media-src blob:; font-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"

const (
	tokenCookie = "crankwright_token"
	tokenQuery  = "token"
)

// door stands before everything: it sets the headers that hold for every answer, and lets in who may.
func (s *Server) door(next http.Handler) http.Handler {
	hosts := newHosts(s.cfg.Addr)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		defer func() {
			if failed := recover(); failed != nil && failed != http.ErrAbortHandler { //nolint:errorlint // the value itself
				s.cfg.Log.Error("a request failed", "method", r.Method, "path", r.URL.Path, "reason", failed, "stack", string(debug.Stack()))
				refuse(w, http.StatusInternalServerError, "the program failed; its log says where")
			}
		}()
		if !hosts.allowed(r.Host) {
			refuse(w, http.StatusMisdirectedRequest, hosts.refusal(r.Host))
			return
		}
		if !sameOrigin(r) {
			refuse(w, http.StatusForbidden, "requests from other sites are not answered")
			return
		}
		if s.cfg.Token != "" && !s.admit(w, r) {
			return
		}
		if strings.HasPrefix(r.URL.Path, "/api/") {
			h.Set("Cache-Control", "no-store")
			if !isJSON(r) {
				refuse(w, http.StatusUnsupportedMediaType, "a body is JSON; say so with Content-Type: application/json")
				return
			}
			if r.ContentLength > maxBody {
				refuse(w, http.StatusRequestEntityTooLarge, "a request may have 1 MiB at most")
				return
			}
			r.Body = http.MaxBytesReader(w, r.Body, maxBody)
			w = untimed(w, r)
		}
		next.ServeHTTP(w, r)
	})
}

// isJSON judges the type of a body. Only a request without one may leave it unsaid: a page of another site can send a body of
// no type without being asked about it first.
func isJSON(r *http.Request) bool {
	said := r.Header.Get("Content-Type")
	if said == "" {
		return r.ContentLength == 0
	}
	kind, _, err := mime.ParseMediaType(said)
	return err == nil && kind == "application/json"
}

func refuse(w http.ResponseWriter, status int, detail string) {
	p := failure(status, detail)
	w.Header().Set("Content-Type", p.ContentType(""))
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(p)
}

// hosts are the names under which the server may be asked. A page elsewhere can make its own name
// resolve to this machine (DNS rebinding), but then the browser still sends that name.
type hosts struct {
	names     map[string]bool
	addresses bool // any plain address is right: the server is bound to more than loopback
}

func newHosts(addr string) hosts {
	h := hosts{map[string]bool{"localhost": true}, !loopback(addr)}
	if name, _, err := net.SplitHostPort(addr); err == nil && name != "" {
		h.names[strings.ToLower(name)] = true
	}
	if h.addresses {
		if name, err := os.Hostname(); err == nil {
			h.names[strings.ToLower(name)] = true
		}
	}
	return h
}

// allowed judges a Host header. A plain address cannot be rebound; on loopback only its own are right.
func (h hosts) allowed(host string) bool {
	name := host
	if n, _, err := net.SplitHostPort(host); err == nil {
		name = n
	}
	name = strings.ToLower(strings.Trim(name, "[]"))
	if h.names[strings.TrimSuffix(name, ".")] {
		return true
	}
	ip, err := netip.ParseAddr(name)
	return err == nil && (ip.IsLoopback() || h.addresses)
}

// refusal says for which hosts the server answers. It names none that is not known anyway: who asks may be an attacker.
func (h hosts) refusal(host string) string {
	which := "localhost and the address 127.0.0.1"
	if h.addresses {
		which = "localhost, plain addresses and the name of its machine"
	}
	return fmt.Sprintf("this server does not answer for the host %s; it answers for %s, and for the name that 'crankwright serve --addr NAME:PORT' gives it", host, which)
}

// loopback reports whether an address is reached from this machine only.
func loopback(addr string) bool {
	name, _, err := net.SplitHostPort(addr)
	if err != nil {
		name = addr
	}
	if strings.EqualFold(name, "localhost") {
		return true
	}
	ip, err := netip.ParseAddr(name)
	return err == nil && ip.IsLoopback()
}

// NeedsToken reports whether others than this machine's users can reach an address, so that a token is
// needed.
func NeedsToken(addr string) bool { return !loopback(addr) }

// sameOrigin judges where a request comes from. Browsers say so in Origin or Sec-Fetch-Site; programs
// such as curl say nothing. What changes anything, and the event stream, is for our own page alone;
// the rest of the API neither for pictures or scripts in another site's page.
func sameOrigin(r *http.Request) bool {
	reads := r.Method == http.MethodGet || r.Method == http.MethodHead
	if origin := r.Header.Get("Origin"); origin != "" && (!reads || strings.HasPrefix(r.URL.Path, "/api/")) {
		u, err := url.Parse(origin)
		if err != nil || !strings.EqualFold(u.Host, r.Host) || u.Scheme != "http" && u.Scheme != "https" {
			return false
		}
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return true
	}
	return reads && !strings.HasPrefix(r.URL.Path, "/api/")
}

// admit checks the token. It comes once in the address, and from then on in a cookie that no script
// reads; programs send it as a bearer token.
func (s *Server) admit(w http.ResponseWriter, r *http.Request) bool {
	if given := r.URL.Query().Get(tokenQuery); given != "" && r.Method == http.MethodGet && s.right(given) {
		http.SetCookie(w, &http.Cookie{
			Name: tokenCookie, Value: given, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
		})
		clean := *r.URL
		q := clean.Query()
		q.Del(tokenQuery)
		clean.RawQuery, clean.Scheme, clean.Host = q.Encode(), "", ""
		clean.Path = "/" + strings.TrimLeft(clean.Path, `/\`)
		w.Header().Set("Cache-Control", "no-store")
		http.Redirect(w, r, clean.String(), http.StatusSeeOther)
		return false
	}
	if c, err := r.Cookie(tokenCookie); err == nil && s.right(c.Value) {
		return true
	}
	if bearer, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); ok && s.right(bearer) {
		return true
	}
	w.Header().Set("WWW-Authenticate", "Bearer")
	refuse(w, http.StatusUnauthorized, "open the address that the server printed when it started: it has the token")
	return false
}

// right compares a token in constant time.
func (s *Server) right(given string) bool {
	a, b := sha256.Sum256([]byte(given)), sha256.Sum256([]byte(s.cfg.Token))
	return subtle.ConstantTimeCompare(a[:], b[:]) == 1
}
