package main

import (
	"context"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"crankwright/report"
	"crankwright/results"

	"github.com/spf13/cobra"
)

func (a *app) studyShowVerb() *cobra.Command {
	var as form
	c := &cobra.Command{
		Use:   "show FOLDER",
		Short: "show what a study has found, also while it runs",
		Long: `Show prints what a folder of results holds: the certificate, the front, the best by each aim. Where the study is
not finished, it is what was found so far; another process may fill the folder in the meantime.`,
		Example: `  crankwright study show vees.results
  crankwright study show vees.results --csv > front.csv`,
		Args:              oneFolder,
		ValidArgsFunction: completeFolders,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			d, err := a.studyDoc(args[0])
			if err != nil {
				return err
			}
			return a.giveStudy(as, d)
		}),
	}
	as.flags(c, "the front", "")
	return c
}

// studyDoc says what a folder of results holds.
func (a *app) studyDoc(dir string) (*report.StudyDoc, error) {
	f, p, err := a.openResults(dir)
	if err != nil {
		return nil, err
	}
	return foundDoc(f, p, dir)
}

func (a *app) studyQueryVerb() *cobra.Command {
	var as form
	var q results.Query
	var columns string
	var c *cobra.Command
	c = &cobra.Command{
		Use:   "query FOLDER [FILTER]",
		Short: "find candidates in the results of a study, in trade words or in SQL",
		Long: `Query finds the candidates of a folder of results that satisfy a filter: comparisons of a key with a value that
carries its unit, joined by and, or, not and parentheses. A key may be written by its last part, such as bank_angle
for layout.bank_angle. columns.md in the folder lists all keys.

With --sql it is a question in SQL over the tables candidates and front, whose columns are those of the Parquet files.`,
		Example: `  crankwright study query vees.results 'free_force_order_2 < 2 kN and bank_angle = 90 deg' --sort length
  crankwright study query vees.results --front --columns length,free_moment_order_1
  crankwright study query vees.results --sort firing_evenness --descending --most 5
  crankwright study query vees.results --sql 'select bank_angle, count(*) as n from candidates group by 1 order by 1'`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 2 {
				args = args[:1]
			}
			return oneFolder(nil, args)
		},
		ValidArgsFunction: completeFolders,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			if err := apart(c, "", "sql", "columns", "sort", "descending", "front"); err != nil {
				return err
			}
			if q.Limit < 1 || q.Limit > results.MostLimit {
				return usagef("--most: %d rows; 1 to %d can be asked for", q.Limit, results.MostLimit)
			}
			if len(args) == 2 {
				q.Filter = args[1]
			}
			if columns != "" {
				q.Columns = strings.Split(columns, ",")
			}
			f, err := results.Open(args[0])
			if err != nil {
				return inputError{err}
			}
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			rows, err := f.Query(ctx, q)
			if err != nil {
				return usagef("%w", err)
			}
			return give(a, as, queryDoc(rows), report.StudyQueryCSV, report.StudyQueryText)
		}),
	}
	l := c.Flags()
	l.StringVar(&q.SQL, "sql", "", "a question in SQL instead of a filter")
	l.StringVar(&columns, "columns", "", "keys to print, with commas (default: all)")
	l.StringVar(&q.Sort, "sort", "", "key to sort by, the smallest first (default: the number of the candidate)")
	l.BoolVar(&q.Most, "descending", false, "sort the largest first")
	l.IntVar(&q.Limit, "most", results.DefaultLimit, "rows at most")
	l.BoolVar(&q.Front, "front", false, "candidates of the front only")
	as.flags(c, "the rows", "")
	return c
}

// queryDoc describes what a query yields.
func queryDoc(rows *results.Rows) *report.StudyQueryDoc {
	d := &report.StudyQueryDoc{Columns: []report.StudyQueryColumnDoc{}, Rows: rows.Rows, Matched: rows.Matched, More: rows.More, Whole: rows.Whole}
	for _, c := range rows.Columns {
		d.Columns = append(d.Columns, report.StudyQueryColumnDoc{Key: c.Key, Name: c.Name, Unit: c.Unit, Text: c.Text})
	}
	if d.Rows == nil {
		d.Rows = [][]any{}
	}
	return d
}
