"""How much the tests notice: a random sample of small changes of the code, `python -m mutants --count 500`."""
