"""The tool against an independent slow path, over random jobs: `python -m differential --jobs 2000`."""
