package main

import (
	"fmt"
	"runtime"

	"github.com/spf13/cobra"
)

func (a *app) versionVerb() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "print the version",
		Example: "  crankwright version",
		Args:    cobra.NoArgs,
		RunE: a.verb(func([]string) error {
			return a.text(fmt.Sprintf("crankwright %s %s %s/%s\n", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH))
		}),
	}
}
