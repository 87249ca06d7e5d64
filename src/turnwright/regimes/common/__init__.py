"""What procedures of several regimes share: they differ by their tables and clauses, not by their code."""
