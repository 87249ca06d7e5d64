"""What answers are said with: figures, sentences, the table of two sides. Terminal, pages and papers share it."""
