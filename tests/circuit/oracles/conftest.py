"""The programs of this folder make data for the tests; they are run by hand and hold no tests."""

collect_ignore_glob = ["*.py"]
