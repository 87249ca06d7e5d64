"""What the commands print for people: 80 columns, plain characters, the same in a pipe."""
