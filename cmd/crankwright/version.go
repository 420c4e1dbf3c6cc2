package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// stamp is what the build says of its source: version, commit and when the commit was made, parted by spaces. tools/stamp.sh
// takes them from git, and -ldflags "-X 'main.stamp=…'" puts them in.
var stamp string

// version is that of the program: the one stamped in, else what the Go command recorded.
func version() string {
	if v, _, ok := strings.Cut(stamp, " "); ok {
		return v
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(unknown)"
}

// versionLine says which program this is, from which commit and for what machine.
func versionLine() string {
	from := ""
	if w := strings.Fields(stamp); len(w) == 3 {
		from = fmt.Sprintf(" (commit %s of %s)", w[1], w[2])
	}
	return fmt.Sprintf("crankwright %s%s %s %s/%s\n", version(), from, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}

func (a *app) versionVerb() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "print the version",
		Example: "  crankwright version",
		Args:    cobra.NoArgs,
		RunE:    a.verb(func([]string) error { return a.text(versionLine()) }),
	}
}
