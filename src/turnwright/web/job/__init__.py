"""The working page: what was typed becomes the job file, the job file is answered, the answer becomes the page."""
