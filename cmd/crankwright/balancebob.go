package main

import (
	"fmt"
	"path/filepath"

	"crankwright/mechanics/balance"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) bobweightVerb() *cobra.Command {
	var factor, parts, speed, html, pdf, csv string
	var strict, asJSON, write bool
	c := &cobra.Command{
		Use:   "bobweight FILE",
		Short: "the bobweights for the balancing machine, as a card, and whether their factor is right",
		Long: `Bobweight says which ring mass each crankpin carries on the balancing machine: all that turns with the
pin, and a factor of all that slides. It says from the vectors of this crank what another factor would
leave, and whether the crank needs bobweights at all.

Without --parts the masses are those of the engine file. A list of weighed parts is a CSV file with the
columns part, mass (with its unit), count (pieces in each cylinder), kind (rotating or reciprocating) and,
for a part that one cylinder alone has, cylinder.

--write gives the crank in FILE the counterweights that the balancing machine leaves on it, one opposite
each pin.`,
		Example: `  crankwright balance bobweight examples/vee-eight-90-cross.engine.yaml
  crankwright balance bobweight engine.yaml --parts parts.csv --factor '52 %' --pdf card.pdf
  crankwright balance bobweight engine.yaml --html card.html --csv card.csv --json`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			k, err := quantityOf[spec.Share]("factor", factor)
			if err != nil {
				return err
			}
			if !(k >= 0 && k <= 1) {
				return usagef("--factor: %s is not possible; 0 %% to 100 %% of the reciprocating mass can be counted, such as '50 %%'", factor)
			}
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			if write && args[0] == "-" {
				return usagef("--write changes a file; standard input (-) is none")
			}
			e, err := a.read(args[0], strict)
			if err != nil {
				return err
			}
			if ω == 0 {
				ω = e.train.Speeds.Rated
			}
			list, from := balance.FileParts(e.train), report.PartsFromFile
			if parts != "" {
				name, data, err := a.fileText(parts)
				if err != nil {
					return err
				}
				if list, err = spec.ReadParts(name, data, e.train); err != nil {
					return inputError{err}
				}
				from = filepath.Base(parts)
			}
			card, err := balance.BobweightCard(e.train, list, k)
			if err != nil {
				if parts != "" {
					return inputError{fmt.Errorf("%s: %w", parts, err)}
				}
				return inputError{e.src.Placed(err)}
			}
			doc := report.Bobweights(e.train, card, ω, from)
			if err := a.saveCard(doc, html, pdf, csv); err != nil {
				return err
			}
			if write {
				if err := a.writeEdits(args[0], doc.Edits); err != nil {
					return err
				}
			}
			if asJSON {
				return a.json(doc)
			}
			return a.text(report.BobweightText(doc, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringVar(&factor, "factor", "50 %", "share of the reciprocating masses that the bobweights carry, such as '50 %'")
	f.StringVar(&parts, "parts", "", "CSV file with the weighed parts (default: the masses of the engine file)")
	f.StringVar(&speed, "speed", "", "crank speed of the forces, such as '6000 rpm' (default: the rated speed of the file)")
	f.StringVar(&html, "html", "", "write the card as a page for printing to this file")
	f.StringVar(&pdf, "pdf", "", "write the card as an A4 page to this .pdf, .svg or .png file")
	f.StringVar(&csv, "csv", "", "write the bobweights as comma-separated values to this file")
	f.BoolVar(&write, "write", false, "write the counterweights that the shop leaves on the crank into FILE")
	strictFlag(f, &strict)
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// saveCard writes the files of a card that were asked for.
func (a *app) saveCard(doc report.BobweightDoc, html, pdf, csv string) error {
	if pdf != "" {
		write, err := figureFormat(pdf, 2)
		if err != nil {
			return err
		}
		if err := a.saveFigure(report.BobweightFigure(doc), write, pdf); err != nil {
			return err
		}
	}
	for _, file := range []struct {
		path string
		make func(report.BobweightDoc) ([]byte, error)
	}{{html, report.BobweightHTML}, {csv, report.BobweightCSV}} {
		if file.path == "" {
			continue
		}
		data, err := file.make(doc)
		if err != nil {
			return err
		}
		if err := a.save(file.path, data); err != nil {
			return err
		}
	}
	return nil
}

// writeEdits makes changes in the engine file and says which.
func (a *app) writeEdits(file string, edits []report.EditDoc) error {
	if err := a.editEngine(file, edits); err != nil {
		return err
	}
	for _, e := range edits {
		a.note("%s: %s set", file, e.Path)
	}
	return nil
}

// editEngine makes changes in the engine file, where the file then still holds an engine.
func (a *app) editEngine(file string, edits []report.EditDoc) error {
	_, data, err := a.fileText(file)
	if err != nil {
		return err
	}
	changes := make([]spec.Change, len(edits))
	for i := range edits {
		changes[i] = spec.Change{Path: edits[i].Path, Text: &edits[i].Text}
	}
	out, err := spec.Edit(data, changes)
	if err != nil {
		return inputError{fmt.Errorf("%s: %w", file, err)}
	}
	if _, _, err := spec.ReadEngine(file, out, spec.Options{}); err != nil {
		return inputError{err}
	}
	return a.save(file, out)
}
