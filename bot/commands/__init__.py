"""The subcommands of `frywire`, a module each: `HELP`, `arguments(parser)` and `run(options) -> exit code`."""
