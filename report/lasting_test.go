package report

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/decision"
	"crankwright/mechanics/bearing"
	"crankwright/spec"
)

func lastingOf(t testing.TB, name string) *analysis.Result {
	t.Helper()
	train, _, err := spec.ReadEngineFile("../examples/"+name+".engine.yaml", spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Run(train, analysis.Options{Drive: true, Lasting: true})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Every example has documents without null lists or numbers that are none, or says why not; texts of every width keep to it.
func TestLastingDocuments(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".engine.yaml")
		l := lastingOf(t, name).Lasting
		if l == nil {
			t.Fatal(name, "has nothing")
		}
		var docs []any
		var texts []string
		if l.Bearings != nil {
			d, err := NewBearingsDoc(l.Bearings, true)
			if err != nil {
				t.Fatal(name, err)
			}
			docs, texts = append(docs, d), append(texts, BearingsText(d, Screen{Width: 80}))
			if d.Room != nil {
				texts = append(texts, RoomText(d.Room, Screen{Width: 80}))
			}
		}
		if l.Torsion != nil {
			d := NewTorsionDoc(l.Torsion, true)
			docs, texts = append(docs, d), append(texts, TorsionText(d, Screen{Width: 100}))
		}
		if l.Strength != nil {
			d := NewStrengthDoc(l.Strength)
			docs, texts = append(docs, d), append(texts, StrengthText(d, Screen{Width: 100}))
		}
		if name == "offset-pair" {
			if l.NoTorsion == "" || l.NoStrength == "" || len(docs) != 1 {
				t.Errorf("%s: torsion %q, strength %q, %d documents", name, l.NoTorsion, l.NoStrength, len(docs))
			}
		} else if len(docs) != 3 {
			t.Errorf("%s: %q %q %q", name, l.NoBearings, l.NoTorsion, l.NoStrength)
		}
		for _, d := range docs {
			data, err := Encode(d)
			if err != nil {
				t.Fatal(name, err)
			}
			var v any
			if err := json.Unmarshal(data, &v); err != nil {
				t.Fatal(err)
			}
			if at := nullIn(v, ""); at != "" {
				t.Errorf("%s: %T: %s is null", name, d, at)
			}
			if at := notFinite(reflect.ValueOf(d), ""); at != "" {
				t.Errorf("%s: %T: %s is no number", name, d, at)
			}
		}
		for _, text := range texts {
			if !strings.Contains(text, "For concept work") {
				t.Errorf("%s: a text without caution:\n%.300s", name, text)
			}
		}
	}
}

// nullIn finds a null in what JSON holds.
func nullIn(v any, at string) string {
	switch v := v.(type) {
	case nil:
		return at
	case map[string]any:
		for k, w := range v {
			if found := nullIn(w, at+"."+k); found != "" {
				return found
			}
		}
	case []any:
		for _, w := range v {
			if found := nullIn(w, at+"[]"); found != "" {
				return found
			}
		}
	}
	return ""
}

// notFinite finds a number that is none.
func notFinite(v reflect.Value, at string) string {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return notFinite(v.Elem(), at)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if found := notFinite(v.Field(i), at+"."+v.Type().Field(i).Name); found != "" {
				return found
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if found := notFinite(v.Index(i), at+"[]"); found != "" {
				return found
			}
		}
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			return at
		}
	default:
	}
	return ""
}

// The page of a comparison shows crank and bearings with six figures and the caution, and says what is not known.
func TestPageShowsLasting(t *testing.T) {
	page, err := CompareHTML([]*analysis.Result{lastingOf(t, "inline-six"), lastingOf(t, "offset-pair")})
	if err != nil {
		t.Fatal(err)
	}
	text := string(page)
	for _, want := range []string{
		"<h3>Crank and bearings</h3>", "Critical speeds of torsion", "Strength of the crank", "Loads of the main bearings", "Oil film", "Room along the crank",
		"The weakest point is the oil bore", "not known: the diameter of the main journals is missing",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if n := strings.Count(text, "<h3>Crank and bearings</h3>"); n != 2 {
		t.Errorf("%d sections for two engines", n)
	}
}

// The wish for less stagger takes from the rods what it gives to the webs.
func TestRoomWish(t *testing.T) {
	r := lastingOf(t, "vee-four-72")
	budget, bays, err := analysis.Room(r.Train, bearing.Needs{})
	if err != nil {
		t.Fatal(err)
	}
	d, err := NewRoomDoc(r.Train, budget, bays, RoomWish{Stagger: 0.016})
	if err != nil {
		t.Fatal(err)
	}
	was, now := d.Bays[0], d.Bays[0].Wish[0]
	if now.GivesWay != "webs" || math.Abs(2*(now.WebMM-was.WebMM)-(was.PinMM-now.PinMM)) > 1e-6 || !(now.RodMM < was.RodMM) {
		t.Errorf("%+v after %+v", now, was)
	}
}

// TestWishHasItsPrice: every row of a wish that can be says what bearings and webs then bear, and the text shows it beside what
// they bear as it is.
func TestWishHasItsPrice(t *testing.T) {
	const file = "../examples/inline-four-flat.engine.yaml"
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	r := lastingOf(t, "inline-four-flat")
	budget, bays, err := analysis.Room(r.Train, bearing.Needs{})
	if err != nil {
		t.Fatal(err)
	}
	wish := RoomWish{Spacing: 0.094}
	if wish.Engine, err = decision.NewRecut(decision.Candidate{File: file, Data: data}, analysis.DriveOptions{}); err != nil {
		t.Fatal(err)
	}
	d, err := NewRoomDoc(r.Train, budget, bays, wish)
	if err != nil {
		t.Fatal(err)
	}
	if d.AsIs == nil || math.Abs(d.AsIs.MainMPa-hardestMPa(r.Lasting.Bearings.Mains)) > 1e-6 {
		t.Fatalf("as it is: %+v", d.AsIs)
	}
	webs, bearings := d.Bays[0].Wish[0].Margins, d.Bays[0].Wish[1].Margins
	if webs == nil || bearings == nil || !(webs.Q < d.AsIs.Q) || !(bearings.MainMPa > d.AsIs.MainMPa && bearings.FilmUM < d.AsIs.FilmUM) {
		t.Errorf("as it is %+v, thinner webs %+v, narrower bearings %+v", d.AsIs, webs, bearings)
	}
	if text := RoomText(d, Screen{Width: 100}); !strings.Contains(text, "What the engine then bears, at 5500 rpm and full load") || strings.Count(text, "\nany ") != 3 {
		t.Error(text)
	}
}

func hardestMPa(list []analysis.Carried) float64 {
	most := 0.0
	for _, c := range list {
		most = max(most, c.Specific.Peak/1e6)
	}
	return most
}

// TestOpenFilm: a path that does not repeat is called so, and its film is shown as about right.
func TestOpenFilm(t *testing.T) {
	b := *lastingOf(t, "inline-four-flat").Lasting.Bearings
	b.Mains = slices.Clone(b.Mains)
	film := *b.Mains[0].Film
	film.Settled, film.Cycles = false, 200
	b.Mains[0].Film = &film
	d, err := NewBearingsDoc(&b, false)
	if err != nil {
		t.Fatal(err)
	}
	text := BearingsText(d, Screen{Width: 100})
	if strings.Contains(text, "lost") || !strings.Contains(text, "has not repeated after the cycles followed (in brackets) in main 1 (200)") || !strings.Contains(text, "≈ ") {
		t.Error(text)
	}
	if f := d.Mains[0].Film; f.Settled || f.Lost || f.Floats || f.Cycles != 200 {
		t.Errorf("%+v", f)
	}
}
