package main

import "github.com/spf13/cobra"

// apart refuses a flag together with any of some others, of which one would be ignored; when tells where.
func apart(c *cobra.Command, when, flag string, others ...string) error {
	for _, other := range others {
		if c.Flags().Changed(flag) && c.Flags().Changed(other) {
			return usagef("--%s and --%s exclude each other%s", flag, other, when)
		}
	}
	return nil
}

// needs refuses flags that mean nothing without another.
func needs(c *cobra.Command, other string, flags ...string) error {
	for _, flag := range flags {
		if c.Flags().Changed(flag) && !c.Flags().Changed(other) {
			return usagef("--%s needs --%s", flag, other)
		}
	}
	return nil
}
