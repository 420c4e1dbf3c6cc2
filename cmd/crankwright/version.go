package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// What the build stamps in, with -ldflags "-X main.stamped=… -X main.commit=…"; tools/stamp.sh takes both from git.
var stamped, commit string

// version is that of the program: the one stamped in, else what the Go command recorded.
func version() string {
	if stamped != "" {
		return stamped
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(unknown)"
}

// versionLine says which program this is, from which commit and for what machine.
func versionLine() string {
	from := ""
	if commit != "" {
		from = " commit " + commit
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
