"""The calculation in its forms: plain, with arrays, and compiled. Each is one module, equal in what it tells."""
