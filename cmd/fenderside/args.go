package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

// What a command says when it is given too few or too many arguments: what it wants, in words.

func exactlyOne(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != 1 {
			return fmt.Errorf("%s wants %s (%d given)", c.CommandPath(), what, len(args))
		}
		return nil
	}
}

func atMostOne(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > 1 {
			return fmt.Errorf("%s wants %s (%d given)", c.CommandPath(), what, len(args))
		}
		return nil
	}
}

func atLeastOne(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			return fmt.Errorf("%s wants %s", c.CommandPath(), what)
		}
		return nil
	}
}

func none(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fmt.Errorf("%s wants no arguments, and %q was given", c.CommandPath(), args[0])
	}
	return nil
}
