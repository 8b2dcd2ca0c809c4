package main

import "github.com/spf13/cobra"

// helpCommand tells about one command. The library's own says "unknown topic"
// and ends with success.
func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "tell about a command",
		RunE: func(c *cobra.Command, args []string) error {
			about, rest, err := c.Root().Find(args)
			if len(rest) > 0 || err != nil {
				return unknownCommand(args[0])
			}
			return about.Help()
		},
	}
}

// shells that the library can write completions for.
var shells = []string{"bash", "zsh", "fish", "powershell"}

func completionCommand(t *talk) *cobra.Command {
	return &cobra.Command{
		Use:       "completion SHELL",
		Short:     "print a script that completes commands and flags in a shell",
		Long:      "completion prints a script for bash, zsh, fish or powershell; load it as your\nshell's manual says.",
		Example:   "  gapshade completion bash > ~/.local/share/bash-completion/completions/gapshade",
		ValidArgs: shells,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return argFault("completion takes one shell; %d given", "use bash, zsh, fish or powershell", len(args))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			switch root := c.Root(); args[0] {
			case "bash":
				return root.GenBashCompletionV2(t.out, true)
			case "zsh":
				return root.GenZshCompletion(t.out)
			case "fish":
				return root.GenFishCompletion(t.out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(t.out)
			}
			next := "use bash, zsh, fish or powershell"
			if near := nearest(args[0], shells); near != "" {
				next = "did you mean gapshade completion " + near + "?"
			}
			return argFault("there is no completion for %s", next, quote(args[0]))
		},
	}
}
