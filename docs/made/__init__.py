"""Pages made from the code itself, so that they cannot say anything else than it does."""
