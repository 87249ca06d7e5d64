"""The papers: one module each, with a function from a `Brief` to a `Report`."""
