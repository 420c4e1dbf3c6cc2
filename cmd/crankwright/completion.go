package main

import (
	"bytes"
	"errors"
	"slices"

	"github.com/spf13/cobra"
)

func (a *app) completionVerb() *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use:   "completion {bash|zsh|fish|powershell}",
		Short: "print the completion script of a shell",
		Long: `Completion prints a script with which a shell completes verbs, flags, engine files and names of figures
on the tab key.`,
		Example: `  source <(crankwright completion bash)
  crankwright completion zsh > "${fpath[1]}/_crankwright"
  crankwright completion fish > ~/.config/fish/completions/crankwright.fish`,
		ValidArgs: shells,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || !slices.Contains(shells, args[0]) {
				return errors.New("give bash, zsh, fish or powershell")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			a.started = true
			root := cmd.Root()
			var b bytes.Buffer
			var err error
			switch args[0] {
			case "bash":
				err = root.GenBashCompletionV2(&b, true)
			case "zsh":
				err = root.GenZshCompletion(&b)
			case "fish":
				err = root.GenFishCompletion(&b, true)
			default:
				err = root.GenPowerShellCompletionWithDesc(&b)
			}
			if err != nil {
				return err
			}
			return a.print(b.Bytes())
		},
	}
}
