"""Everything that is read from outside, fed with damaged files: `python -m fuzz`, or `make fuzz`."""
