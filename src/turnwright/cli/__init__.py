"""The command line: it reads arguments, calls the library once, and writes what came out."""
