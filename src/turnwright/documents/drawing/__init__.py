"""Drawings as SVG: black lines, direct labels, and a text that says the same."""
