package main

import (
	"fmt"
	"strings"

	"crankwright/spec"
)

// fileKind is a kind of file, which the ending of its name says.
type fileKind struct {
	ending string
	what   string // such as "a brief"
	takes  string // the verbs that take it
}

var fileKinds = []fileKind{
	{spec.EngineSuffix, "an engine", "evaluate, compare and most others take it"},
	{spec.BriefSuffix, "a brief", "'crankwright choose BRIEF ENGINE...' takes it, and report with --brief"},
	{spec.StudySuffix, "a study", "'crankwright study run' takes it"},
	{spec.PricesSuffix, "a price table", "'crankwright cost' takes it with --prices"},
	{spec.BalanceSuffix, "a job of the balancing shop", "'crankwright balance correct' takes it"},
	{tableSuffix, "a table", "'crankwright balance match' and 'bobweight' take weighed parts with --parts; an engine file names a measured pressure as gas: {trace: FILE.csv}"},
}

// tableSuffix ends the names of tables, which mean something only with an engine.
const tableSuffix = ".csv"

// kindOf returns what the ending of a file's name says that it is; another ending is that of no kind.
func kindOf(file string) fileKind {
	for _, k := range fileKinds {
		if strings.HasSuffix(file, k.ending) {
			return k
		}
	}
	return fileKind{}
}

// wanted says so where no file is named, or its name ends like that of another kind than the one with this ending.
func wanted(ending, file string) error {
	k := kindOf(file)
	switch {
	case file == "":
		return usagef("a file is named by nothing at all; give the name of a file")
	case k.ending == "" || k.ending == ending:
		return nil
	}
	return inputError{fmt.Errorf("%s: by its name this is %s, and %s is wanted here; %s", file, k.what, kindOf(ending).what, k.takes)}
}
