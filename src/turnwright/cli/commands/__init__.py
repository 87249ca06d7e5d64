"""One module for each command, with `add_arguments(parser)` and `run(arguments) -> Outcome`."""
