"""How the pages are built: `python -m docs` makes what comes from the code, then calls Sphinx with this file."""

from turnwright.version import __version__

project = "Turnwright"
author = ""
copyright = "MIT licence"
version = release = __version__
extensions = ["myst_parser"]
exclude_patterns = ["made", "**/__pycache__"]
html_theme = "furo"
html_title = f"Turnwright {__version__}"
html_show_sphinx = False
html_copy_source = False
html_show_copyright = False
html_theme_options = {"footer_icons": []}
templates_path: list[str] = []
suppress_warnings: list[str] = []
