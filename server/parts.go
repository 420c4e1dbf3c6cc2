package server

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"strings"
	"sync"

	"crankwright/analysis"
	"crankwright/mechanics/parts"
	"crankwright/report"
	"crankwright/spec"
)

// PartsRequest asks what an engine is made of.
type PartsRequest struct{ Draft }

func (s *Server) parts(_ context.Context, in *struct{ Body PartsRequest }) (*toolAnswer[*report.PartsDoc], error) {
	r, err := s.counted(in.Body.Draft, nil)
	if err != nil {
		return nil, err
	}
	return &toolAnswer[*report.PartsDoc]{report.NewPartsDoc(r, r.Parts)}, nil
}

// counted evaluates a draft and counts its parts.
func (s *Server) counted(d Draft, prices *parts.Prices) (*analysis.Result, error) {
	data, _, err := s.drafted(d)
	if err != nil {
		return nil, err
	}
	opt := optionsFor(d.SpeedRPM)
	opt.Drive = prices == nil // friction by part needs it, points do not
	v := s.evaluate(d.File, data, opt)
	if v.result == nil {
		return nil, notEvaluated(v)
	}
	v.result.Parts = analysis.NewParts(v.result, analysis.PartsOptions{Prices: prices})
	return v.result, nil
}

// CostRequest asks what an engine costs.
type CostRequest struct {
	Draft
	Than       string  `json:"than,omitempty" doc:"engine file that it is compared with; it stands first in the answer"`
	Prices     *string `json:"prices,omitempty" doc:"text of a price table; left out: the file, or the invented prices"`
	PricesFile string  `json:"prices_file,omitempty" doc:"name of a price table in the folder, such as my.prices.yaml; also the name that messages show"`
}

func (s *Server) cost(_ context.Context, in *struct{ Body CostRequest }) (*toolAnswer[*report.CostsDoc], error) {
	b := in.Body
	prices, err := s.prices(b)
	if err != nil {
		return nil, err
	}
	var results []*analysis.Result
	drafts := []Draft{b.Draft}
	if b.Than != "" {
		drafts = []Draft{{File: b.Than}, b.Draft}
	}
	for _, d := range drafts {
		r, err := s.counted(d, &prices)
		if err != nil {
			return nil, err
		}
		if r.Parts.Cost == nil {
			return nil, badField("body", r.Parts.NoCost)
		}
		results = append(results, r)
	}
	d := report.NewCostsDoc(results)
	if d.Table = string(spec.WritePrices(prices)); b.Prices != nil {
		d.Table = *b.Prices
	}
	return &toolAnswer[*report.CostsDoc]{d}, nil
}

// PriceTables names the price tables of the folder.
type PriceTables struct {
	Tables []string `json:"tables" doc:"names, such as my.prices.yaml"`
}

func (s *Server) priceTables(context.Context, *struct{}) (*struct{ Body PriceTables }, error) {
	entries, err := fs.ReadDir(s.folder.root().FS(), ".")
	if err != nil {
		return nil, err
	}
	out := PriceTables{Tables: []string{}}
	for _, e := range entries {
		if e.Type().IsRegular() && !strings.HasPrefix(e.Name(), ".") && strings.HasSuffix(e.Name(), spec.PricesSuffix) && len(out.Tables) < mostFiles {
			out.Tables = append(out.Tables, e.Name())
		}
	}
	return &struct{ Body PriceTables }{out}, nil
}

// tables keeps price tables that were read, so that the same content is the same table to the cache of evaluations.
type tables struct {
	mu    sync.Mutex
	known map[string]*parts.Prices // by content
}

// mostTables is how many price tables are remembered.
const mostTables = 32

// table reads a price table that a brief names.
func (t *tables) table(f *folder, name string) (*parts.Prices, error) {
	data, err := f.named(name)
	if err != nil {
		return nil, failure(http.StatusUnprocessableEntity, fmt.Sprintf("there is no price table %q in the folder that can be read", name))
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if p := t.known[string(data)]; p != nil {
		return p, nil
	}
	p, err := spec.ReadPrices(name, data)
	if err != nil {
		return nil, failure(http.StatusUnprocessableEntity, "the price table cannot be used: "+err.Error())
	}
	if t.known == nil || len(t.known) >= mostTables {
		t.known = map[string]*parts.Prices{}
	}
	t.known[string(data)] = &p
	return &p, nil
}

// prices reads the price table of a request.
func (s *Server) prices(b CostRequest) (parts.Prices, error) {
	name := b.PricesFile
	var data []byte
	switch {
	case b.Prices != nil:
		data = []byte(*b.Prices)
	case name == "":
		return parts.UsualPrices(), nil
	case !strings.HasSuffix(name, spec.PricesSuffix) || strings.ContainsAny(name, `/\`):
		return parts.Prices{}, badField("body.prices_file", fmt.Sprintf("%q is no name of a price table; such a file lies in the folder and ends in %s", name, spec.PricesSuffix))
	default:
		var err error
		if data, err = s.folder.named(name); err != nil {
			return parts.Prices{}, badField("body.prices_file", fmt.Sprintf("there is no price table %q in the folder that can be read", name))
		}
	}
	if name == "" {
		name = "prices"
	}
	p, err := spec.ReadPrices(name, data)
	if err == nil {
		return p, nil
	}
	var list spec.Errors
	if !errors.As(err, &list) || len(list) == 0 {
		return p, err
	}
	d := failure(http.StatusUnprocessableEntity, "the price table cannot be used: "+list[0].Error())
	d.Type, d.Problems = typePrices, problemsOf(list)
	return p, d
}
